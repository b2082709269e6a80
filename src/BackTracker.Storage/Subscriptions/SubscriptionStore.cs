using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Subscriptions;

/// <summary>Somebody who is told of what happens in some yards, by webhook or by mail.</summary>
public sealed record SubscriptionRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>"webhook" or "mail".</summary>
    public string Channel { get; init; } = "";

    /// <summary>Address of the webhook.</summary>
    public string? Url { get; init; }

    /// <summary>Mail address.</summary>
    public string? Email { get; init; }

    /// <summary>The person who reads it; decides what a yard tells them first and what only when nobody else answered.</summary>
    public string? PersonId { get; init; }

    /// <summary>Event types as a JSON list; an empty list is every type.</summary>
    public string Events { get; init; } = "[]";

    /// <summary>Secret that signs webhooks, encrypted.</summary>
    public string? Secret { get; init; }

    /// <summary>The secret before the last rotation, encrypted.</summary>
    public string? OldSecret { get; init; }

    /// <summary>Until when the old secret signs too.</summary>
    public string? OldSecretUntil { get; init; }

    /// <summary>When the mail address was confirmed; a webhook needs no confirmation.</summary>
    public string? ConfirmedAt { get; init; }

    /// <summary>SHA-256 of the word that confirms the address, lower-case hex.</summary>
    public string? ConfirmHash { get; init; }

    /// <summary>When it was ended.</summary>
    public string? EndedAt { get; init; }

    /// <summary>The key that made it, or the one that took its place.</summary>
    public string? KeyId { get; init; }

    /// <summary>1 where it is of every yard, those to come among them.</summary>
    public int EveryYard { get; init; }

    /// <summary>Until when a webhook that takes nothing is left alone; empty where it is not.</summary>
    public string LaneRestingUntil { get; init; } = "";

    /// <summary>When the webhook last took something; null before the first time.</summary>
    public string? SucceededAt { get; init; }

    /// <summary>When the webhook said that it is gone; null while it is not.</summary>
    public string? GoneAt { get; init; }

    /// <summary>When a letter could not be sent there; null since one went.</summary>
    public string? BouncedAt { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was made.</summary>
    public string CreatedAt { get; init; } = "";

    /// <summary>Its yards, parted by commas.</summary>
    public string? Yards { get; init; }

    /// <summary>Its yards.</summary>
    public IReadOnlyList<string> YardIds => string.IsNullOrEmpty(Yards) ? [] : Yards.Split(',');

    /// <summary>The yards it is told of.</summary>
    public Sight Reach => EveryYard == 1 ? Sight.All : Sight.Of(YardIds);

    /// <summary>Whether it is told of a yard.</summary>
    public bool Reaches(string yardId) => EveryYard == 1 || YardIds.Contains(yardId);
}

/// <summary>Subscriptions.</summary>
public static class SubscriptionStore
{
    private const string Select =
        """
        select s.id, s.channel, s.url, s.email, s.person_id, s.events, s.secret, s.old_secret, s.old_secret_until, s.confirmed_at,
            s.confirm_hash, s.ended_at, s.key_id, s.every_yard, s.lane_resting_until, s.succeeded_at, s.gone_at, s.bounced_at, s.version, s.created_at,
            (select string_agg(y.yard_id, ',' order by y.yard_id) from subscription_yards y where y.subscription_id = s.id) as yards
        from subscriptions s
        """;

    /// <summary>A subscription whose every yard the caller sees.</summary>
    public static Task<SubscriptionRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<SubscriptionRow>(
        $"{Select} where s.id = @id and {SeesAll(session, sight)}", new { id, sight.Yards });

    /// <summary>Subscriptions whose every yard the caller sees, those that were ended left out.</summary>
    public static async Task<Paged<SubscriptionRow>> ListAsync(ReadSession session, Sight sight, Page page) => Paged<SubscriptionRow>.From(
        await session.ListAsync<SubscriptionRow>(
            $"{Select} where s.id > @After and s.ended_at is null and {SeesAll(session, sight)} order by s.id limit @LimitAndOne",
            new { sight.Yards, page.After, page.LimitAndOne }),
        page, s => s.Id);

    /// <summary>Those of a yard that live: webhooks, and mail addresses that were confirmed.</summary>
    public static Task<IReadOnlyList<SubscriptionRow>> OfYardAsync(ReadSession session, string yardId) => session.ListAsync<SubscriptionRow>(
        $"""
        {Select}
        where s.ended_at is null and (s.channel = 'webhook' or s.confirmed_at is not null)
            and (s.every_yard = 1 or exists (select 1 from subscription_yards o where o.subscription_id = s.id and o.yard_id = @yardId))
        order by s.id
        """, new { yardId });

    /// <summary>Adds a subscription and its yards.</summary>
    public static async Task AddAsync(WriteSession session, SubscriptionRow row)
    {
        await session.ExecuteAsync(
            """
            insert into subscriptions (id, channel, url, email, person_id, events, secret, confirm_hash, every_yard, key_id, version, created_at)
            values (@Id, @Channel, @Url, @Email, @PersonId, @Events, @Secret, @ConfirmHash, @EveryYard, @KeyId, 1, @CreatedAt)
            """, row with { KeyId = session.Actor });
        await AddYardsAsync(session, row);
    }

    /// <summary>Changes a subscription and its yards if the row still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ChangeAsync(WriteSession session, SubscriptionRow row)
    {
        var changed = await session.ExecuteAsync(
            """
            update subscriptions set url = @Url, person_id = @PersonId, events = @Events, secret = @Secret, old_secret = @OldSecret,
                old_secret_until = @OldSecretUntil, every_yard = @EveryYard, version = version + 1
            where id = @Id and version = @Version
            """, row);
        if (changed != 1)
            return false;
        await session.ExecuteAsync("delete from subscription_yards where subscription_id = @Id", row);
        await AddYardsAsync(session, row);
        return true;
    }

    /// <summary>
    /// The one whose address a word confirms, by the word's hash. How long the look-up takes tells nothing of use: whoever learnt a hash
    /// would still not know a word of 256 random bits.
    /// </summary>
    public static Task<SubscriptionRow?> FindByConfirmHashAsync(ReadSession session, string confirmHash) =>
        session.FirstAsync<SubscriptionRow>($"{Select} where s.confirm_hash = @confirmHash", new { confirmHash });

    /// <summary>Living subscriptions that a key has made.</summary>
    public static Task<IReadOnlyList<string>> OfKeyAsync(ReadSession session, string keyId) =>
        session.ListAsync<string>("select id from subscriptions where key_id = @keyId and ended_at is null order by id", new { keyId });

    /// <summary>Hands the subscriptions that a key has made to the key that takes its place.</summary>
    public static Task HandOnAsync(WriteSession session, string oldKeyId, string newKeyId) =>
        session.ExecuteAsync("update subscriptions set key_id = @newKeyId where key_id = @oldKeyId", new { oldKeyId, newKeyId });

    /// <summary>Living ones that tell a mail address, however it is written, of a yard of which another is to tell it.</summary>
    public static Task<IReadOnlyList<string>> DoublesAsync(ReadSession session, SubscriptionRow row) => session.ListAsync<string>(
        $"""
        select s.id from subscriptions s
        where lower(s.email) = lower(@Email) and s.ended_at is null and s.id <> @Id
            and (s.every_yard = 1 or @EveryYard = 1
                or exists (select 1 from subscription_yards y where y.subscription_id = s.id and {session.Among("y.yard_id", "YardIds")}))
        order by s.id
        """, new { row.Email, row.Id, row.EveryYard, row.YardIds });

    /// <summary>How many letters have asked a mail address since an instant whether it wants to be told.</summary>
    public static Task<long> AskedAsync(ReadSession session, string email, DateTimeOffset since) => session.FirstAsync<long>(
        """
        select count(*) from subscriptions s join messages m on m.subscription_id = s.id
        where lower(s.email) = lower(@email) and m.occasion = 'confirm' and m.created_at >= @since
        """, new { email, since = Instants.Write(since) });

    /// <summary>Whether letters are to go to anybody.</summary>
    public static async Task<bool> AnyMailAsync(ReadSession session) =>
        await session.FirstAsync<long>("select count(*) from subscriptions where channel = 'mail' and ended_at is null") > 0;

    /// <summary>Confirms a mail address; false where it was confirmed before, or the subscription ended.</summary>
    public static async Task<bool> ConfirmAsync(WriteSession session, string id) => await session.ExecuteAsync(
        "update subscriptions set confirmed_at = @now, version = version + 1 where id = @id and confirmed_at is null and ended_at is null",
        new { id, now = session.NowText }) == 1;

    /// <summary>Notes that a letter could not be sent there.</summary>
    public static Task NoteBouncedAsync(WriteSession session, string id) =>
        session.ExecuteAsync("update subscriptions set bounced_at = @now where id = @id", new { id, now = session.NowText });

    /// <summary>Notes that a letter went.</summary>
    public static Task NoteReachedAsync(WriteSession session, string id) =>
        session.ExecuteAsync("update subscriptions set bounced_at = null where id = @id and bounced_at is not null", new { id });

    /// <summary>Ends a subscription; false where it had ended.</summary>
    public static async Task<bool> EndAsync(WriteSession session, string id) => await session.ExecuteAsync(
        "update subscriptions set ended_at = @now, version = version + 1 where id = @id and ended_at is null", new { id, now = session.NowText }) == 1;

    private static async Task AddYardsAsync(WriteSession session, SubscriptionRow row)
    {
        foreach (var yardId in row.YardIds)
            await session.ExecuteAsync("insert into subscription_yards (subscription_id, yard_id) values (@Id, @yardId)", new { row.Id, yardId });
    }

    private static string SeesAll(ReadSession session, Sight sight) => sight.EveryYard == 1 ? "1 = 1"
        : $"(s.every_yard = 0 and not exists (select 1 from subscription_yards v where v.subscription_id = s.id and not {session.Sees("v.yard_id", sight)}))";
}
