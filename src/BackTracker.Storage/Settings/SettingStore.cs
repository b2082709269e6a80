using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Settings;

/// <summary>Facts about the installation itself.</summary>
public static class SettingStore
{
    /// <summary>A setting; null where it was never set.</summary>
    public static Task<string?> FindAsync(ReadSession session, string name) =>
        session.FirstAsync<string>("select value from settings where name = @name", new { name });

    /// <summary>Sets a setting.</summary>
    public static Task SetAsync(WriteSession session, string name, string value) => session.ExecuteAsync(
        "insert into settings (name, value) values (@name, @value) on conflict (name) do update set value = @value", new { name, value });
}
