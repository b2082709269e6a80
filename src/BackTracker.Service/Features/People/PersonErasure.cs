using BackTracker.Service.Features.Audit;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.People;

/// <summary>What was taken out with a person.</summary>
/// <param name="Person">What is left: the id, the role, the yards and a pseudonym.</param>
/// <param name="NamesReplaced">How often a name or address of theirs was replaced in notes and letters.</param>
/// <param name="KeyIdsEnded">Keys of theirs that worked until then.</param>
/// <param name="SubscriptionIdsEnded">Subscriptions that told them until then: see that somebody else is told.</param>
/// <param name="Note">What this did not reach.</param>
public sealed record ErasureAnswer(PersonAnswer Person, int NamesReplaced, IReadOnlyList<string> KeyIdsEnded, IReadOnlyList<string> SubscriptionIdsEnded, string Note);

/// <summary>Erases a person: a pseudonym takes their place everywhere.</summary>
internal static class PersonErasure
{
    private const string Note =
        "Backups and exports made before still hold the person, and so does what was sent by mail. In notes full names and mail addresses were replaced; nicknames and telephone numbers are not known here: look for them.";

    public static Task<IResult> EraseAsync(HttpContext http, string id, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var person = await PersonEndpoints.RequireAsync(session, caller, id);
        RefusePart(caller, person);
        if (person.ErasedAt is not null)
            throw new ProblemException(ProblemKind.Conflict, $"{person.Name} was erased already.");
        if (await ErasureStore.BookedDaysAsync(session, person.Id) is [var first, ..] days)
            throw new ProblemException(ProblemKind.Conflict, $"{person.Name} is booked on {days.Count} day(s), the first {first}. Book somebody else for those or take the bookings back, then erase: else nobody would come.");
        var erased = await ErasureStore.EraseAsync(session, person, $"Erased person {person.Id[^8..]}", await EarlierAsync(session, person.Id));
        await AuditStore.NoteAsync(session, "erase", "person", person.Id);
        var left = (await PersonStore.FindAsync(session, Sight.All, person.Id))!;
        return Answer.Ok(new ErasureAnswer(PersonAnswer.Of(left, caller.Sight), erased.NamesReplaced, erased.KeysEnded, erased.SubscriptionsEnded, Note), left.Version);
    });

    private static void RefusePart(Caller caller, PersonRow person)
    {
        if (!person.YardIds.All(caller.Sight.Covers))
            throw new ProblemException(ProblemKind.Conflict, "This person works in yards that this key does not reach as well. Erase them with a key of all of them.");
    }

    private static async Task<IReadOnlyList<string>> EarlierAsync(ReadSession session, string personId)
    {
        var filter = new AuditFilter(null, "person", personId, null, null, null);
        var entries = await Paging.AllAsync(page => AuditStore.ListAsync(session, Sight.All, filter, page));
        return [.. entries.SelectMany(entry => Json.ReadStored<AuditChange[]>(entry.Changes)).Where(change => change.Member is "name" or "email").Select(change => change.Before).OfType<string>()];
    }
}
