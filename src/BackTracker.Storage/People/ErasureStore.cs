using BackTracker.Storage.Calendars;
using BackTracker.Storage.Keys;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Storage.People;

/// <summary>What was taken out with a person.</summary>
/// <param name="NamesReplaced">How often a name or address of theirs was replaced in notes and letters.</param>
/// <param name="KeysEnded">Keys of theirs that worked until then.</param>
/// <param name="SubscriptionsEnded">Subscriptions of theirs that told them until then.</param>
public sealed record Erased(int NamesReplaced, IReadOnlyList<string> KeysEnded, IReadOnlyList<string> SubscriptionsEnded);

/// <summary>Takes out what is known of a person and leaves a pseudonym, so that records keep their sense.</summary>
public static class ErasureStore
{
    // A name that no mailbox can have, RFC 2606.
    private const string NoMailbox = "erased@backtracker.invalid";

    /// <summary>Days from today on for which somebody is booked with a person, the first of them first.</summary>
    public static Task<IReadOnlyList<string>> BookedDaysAsync(ReadSession session, string personId) => session.ListAsync<string>(
        """
        select booked_on from checks where fitter_id = @personId and state = 'booked'
        union select on_day from visits where fitter_id = @personId and state = 'booked'
        order by 1
        """, new { personId });

    /// <summary>Replaces a person's name and address everywhere and ends what lets them in or tells them something.</summary>
    /// <param name="session">The transaction.</param>
    /// <param name="person">The person as they are.</param>
    /// <param name="pseudonym">What they are called from now on.</param>
    /// <param name="earlierTexts">Names and addresses they had before.</param>
    public static async Task<Erased> EraseAsync(WriteSession session, PersonRow person, string pseudonym, IEnumerable<string> earlierTexts)
    {
        var keys = await EndKeysAsync(session, person.Id, pseudonym);
        var subscriptions = await EndSubscriptionsAsync(session, person);
        var yards = await YardsAsync(session, person.Id);
        var texts = 0;
        foreach (var text in earlierTexts.Append(person.Name).Append(person.Email ?? "").Where(text => text.Length > 0).Distinct().OrderByDescending(text => text.Length))
            texts += await FreeTexts.ReplaceAsync(session, yards, text, pseudonym);
        await session.ExecuteAsync(
            "update people set name = @pseudonym, email = null, erased_at = @now, version = version + 1 where id = @Id",
            new { person.Id, pseudonym, now = session.NowText });
        await session.ExecuteAsync("update audit set changes = '[]' where resource_id = @Id", person);
        // Kept answers that show the person are repeated without their body: a repeat must not do a second time what it did.
        await session.ExecuteAsync("update idempotency set body = null where body like @mention", new { mention = $"%{person.Id}%" });
        return new Erased(texts, keys, subscriptions);
    }

    private static async Task<IReadOnlyList<string>> EndKeysAsync(WriteSession session, string personId, string pseudonym)
    {
        var keys = await session.ListAsync<string>("select id from api_keys where person_id = @personId and secret_hash <> id order by id", new { personId });
        foreach (var key in keys)
            await KeyStore.RevokeAsync(session, key);
        await session.ExecuteAsync("update api_keys set name = @name where person_id = @personId", new { personId, name = $"Key of {pseudonym}" });
        await CalendarStore.ForgetTokenAsync(session, personId);
        return keys;
    }

    private static async Task<IReadOnlyList<string>> EndSubscriptionsAsync(WriteSession session, PersonRow person)
    {
        const string Theirs = "(person_id = @Id or lower(email) = lower(@Email))";
        var ended = await session.ListAsync<string>($"select id from subscriptions where {Theirs} and ended_at is null order by id", person);
        foreach (var id in ended)
            await SubscriptionStore.EndAsync(session, id);
        await session.ExecuteAsync(
            $$"""
            update messages set body = '{}', state = case when state = 'pending' then 'parked' else state end, last_error = null
            where subscription_id in (select id from subscriptions where {{Theirs}} and email is not null)
            """, person);
        await session.ExecuteAsync($"update subscriptions set email = '{NoMailbox}', confirm_hash = null where {Theirs} and email is not null", person);
        return ended;
    }

    // Those they belong to, and those in which they did something when they still did.
    private static Task<IReadOnlyList<string>> YardsAsync(ReadSession session, string personId) => session.ListAsync<string>(
        """
        select yard_id from person_yards where person_id = @personId
        union select h.yard_id from measurements m join horses h on h.id = m.horse_id where m.measured_by = @personId
        union select h.yard_id from checks c join horses h on h.id = c.horse_id where c.fitter_id = @personId or c.done_by = @personId
        union select h.yard_id from observations o join horses h on h.id = o.horse_id where o.outcome_by = @personId
        union select s.yard_id from adjustments a join saddles s on s.id = a.saddle_id where a.done_by = @personId
        union select yard_id from visits where fitter_id = @personId
        union select h.yard_id from commissions k join horses h on h.id = k.horse_id where k.saddler_id = @personId
        union select h.yard_id from commission_trials t join commissions k on k.id = t.commission_id join horses h on h.id = k.horse_id where t.bears_load_by = @personId
        """, new { personId });
}
