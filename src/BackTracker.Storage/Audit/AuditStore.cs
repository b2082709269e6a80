using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Audit;

/// <summary>Who changed what and when, written with the change itself.</summary>
public static class AuditStore
{
    /// <summary>Notes a change.</summary>
    /// <param name="session">The transaction of the change.</param>
    /// <param name="action">A verb: "create", "change", "void", "book".</param>
    /// <param name="resource">What kind of thing, for example "horse".</param>
    /// <param name="id">Its id.</param>
    public static Task NoteAsync(WriteSession session, string action, string resource, string id) => session.ExecuteAsync(
        "insert into audit (id, key_id, action, resource, resource_id, created_at) values (@auditId, @actor, @action, @resource, @id, @now)",
        new { auditId = session.NewId(), actor = session.Actor, action, resource, id, now = session.NowText });

    /// <summary>Notes the same change of many.</summary>
    public static Task NoteManyAsync(WriteSession session, string action, string resource, IEnumerable<string> ids)
    {
        var now = session.NowText;
        return session.WriteRowsAsync(
            "audit", ["id", "key_id", "action", "resource", "resource_id", "created_at"],
            ids.Select(id => new object?[] { session.NewId(), session.Actor, action, resource, id, now }));
    }
}
