using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.ProtectionKeys;

/// <summary>Keys that protect the cookies of the pages, as the framework writes them.</summary>
public static class ProtectionKeyStore
{
    /// <summary>Every key, in the order they were made.</summary>
    public static Task<IReadOnlyList<string>> ListAsync(ReadSession session) =>
        session.ListAsync<string>("select xml from protection_keys order by id");

    /// <summary>Adds a key.</summary>
    public static Task AddAsync(WriteSession session, string xml) => session.ExecuteAsync(
        "insert into protection_keys (id, xml, created_at) values (@id, @xml, @now)", new { id = session.NewId(), xml, now = session.NowText });
}
