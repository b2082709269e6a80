using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Audit;

/// <summary>A change as it was noted.</summary>
public sealed record AuditRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>Who: the id of a key, or a word for the service itself.</summary>
    public string KeyId { get; init; } = "";

    /// <summary>The name of the key; null where it was none.</summary>
    public string? KeyName { get; init; }

    /// <summary>The person the key belongs to.</summary>
    public string? PersonId { get; init; }

    /// <summary>Their name.</summary>
    public string? PersonName { get; init; }

    /// <summary>A verb.</summary>
    public string Action { get; init; } = "";

    /// <summary>What kind of thing.</summary>
    public string Resource { get; init; } = "";

    /// <summary>Its id.</summary>
    public string ResourceId { get; init; } = "";

    /// <summary>The yard in which it was at the time; null for what is not of one yard.</summary>
    public string? YardId { get; init; }

    /// <summary>JSON list of the members that changed.</summary>
    public string Changes { get; init; } = "[]";

    /// <summary>When.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Which entries to list; what is null is not asked for.</summary>
/// <param name="YardId">Of a yard.</param>
/// <param name="Resource">Of a kind of thing.</param>
/// <param name="ResourceId">Of one thing.</param>
/// <param name="KeyId">By a key, or by a part of the service.</param>
/// <param name="From">From an instant on.</param>
/// <param name="Before">Before an instant.</param>
public readonly record struct AuditFilter(string? YardId, string? Resource, string? ResourceId, string? KeyId, string? From, string? Before)
{
    internal string Asks =>
        $"{YardId.Asks("a.yard_id = @YardId")} {Resource.Asks("a.resource = @Resource")} {ResourceId.Asks("a.resource_id = @ResourceId")} "
        + $"{KeyId.Asks("a.key_id = @KeyId")} {From.Asks("a.created_at >= @From")} {Before.Asks("a.created_at < @Before")}";
}

/// <summary>Who changed what and when, written with the change itself.</summary>
public static class AuditStore
{
    private const string Select =
        """
        select a.id, coalesce(a.key_id, '') as key_id, k.name as key_name, k.person_id, p.name as person_name,
            a.action, a.resource, a.resource_id, a.yard_id, a.changes, a.created_at
        from audit a left join api_keys k on k.id = a.key_id left join people p on p.id = k.person_id
        """;

    /// <summary>Notes a change of which it is enough to know that it was made.</summary>
    /// <param name="session">The transaction of the change.</param>
    /// <param name="action">A verb: "create", "void", "book".</param>
    /// <param name="resource">What kind of thing, for example "horse".</param>
    /// <param name="id">Its id.</param>
    public static Task NoteAsync(WriteSession session, string action, string resource, string id) => AddAsync(session, action, resource, id, "[]");

    /// <summary>Notes that members of a thing were changed.</summary>
    /// <param name="session">The transaction of the change.</param>
    /// <param name="resource">What kind of thing, for example "horse".</param>
    /// <param name="id">Its id.</param>
    /// <param name="changes">JSON list of the members that changed.</param>
    public static Task NoteChangeAsync(WriteSession session, string resource, string id, string changes) => AddAsync(session, "change", resource, id, changes);

    /// <summary>An entry the caller may see: of their yards, or any where they see every yard.</summary>
    public static Task<AuditRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<AuditRow>(
        $"{Select} where a.id = @id and {session.Sees("a.yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Entries the caller may see, the first of them first.</summary>
    public static async Task<Paged<AuditRow>> ListAsync(ReadSession session, Sight sight, AuditFilter filter, Page page) => Paged<AuditRow>.From(
        await session.ListAsync<AuditRow>(
            $"{Select} where a.id > @After and {session.Sees("a.yard_id", sight)} {filter.Asks} order by a.id limit @LimitAndOne",
            new { sight.Yards, filter.YardId, filter.Resource, filter.ResourceId, filter.KeyId, filter.From, filter.Before, page.After, page.LimitAndOne }),
        page, a => a.Id);

    /// <summary>Notes the same change of many.</summary>
    /// <param name="session">The transaction of the change.</param>
    /// <param name="action">A verb.</param>
    /// <param name="resource">What kind of thing.</param>
    /// <param name="things">Their ids, each with its yard.</param>
    public static Task NoteManyAsync(WriteSession session, string action, string resource, IEnumerable<(string Id, string? YardId)> things)
    {
        var now = session.NowText;
        return session.WriteRowsAsync(
            "audit", ["id", "key_id", "action", "resource", "resource_id", "yard_id", "created_at"],
            things.Select(thing => new object?[] { session.NewId(), session.Actor, action, resource, thing.Id, thing.YardId, now }));
    }

    /// <summary>The same where the yards are not at hand.</summary>
    public static async Task NoteManyAsync(WriteSession session, string action, string resource, IEnumerable<string> ids)
    {
        await NoteManyAsync(session, action, resource, ids.Select(id => (id, (string?)null)));
        await session.ExecuteAsync(
            $"update audit set yard_id = {AuditPlaces.YardSql(resource, "audit.resource_id")} where resource = @resource and key_id = @actor and created_at = @now and yard_id is null",
            new { resource, actor = session.Actor, now = session.NowText });
    }

    private static Task<int> AddAsync(WriteSession session, string action, string resource, string id, string changes) => session.ExecuteAsync(
        $"""
        insert into audit (id, key_id, action, resource, resource_id, yard_id, changes, created_at)
        values (@auditId, @actor, @action, @resource, @id, {AuditPlaces.YardSql(resource, "@id")}, @changes, @now)
        """,
        new { auditId = session.NewId(), actor = session.Actor, action, resource, id, changes, now = session.NowText });
}
