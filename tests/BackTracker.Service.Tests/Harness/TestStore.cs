using Npgsql;

namespace BackTracker.Service.Tests.Harness;

/// <summary>Which database a test runs on.</summary>
public enum StoreKind
{
    Sqlite,
    Postgres,
}

/// <summary>A database of a test's own, gone when the test is over. PostgreSQL is used where the test script has started one.</summary>
internal sealed class TestStore : IAsyncDisposable
{
    private readonly string? _server;

    private TestStore(string folder, string? server, string? connection)
    {
        Folder = folder;
        _server = server;
        Connection = connection;
    }

    public string Folder { get; }

    /// <summary>PostgreSQL connection string; null for SQLite.</summary>
    public string? Connection { get; }

    public static async Task<TestStore> CreateAsync(StoreKind kind)
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-test-").FullName;
        if (kind == StoreKind.Sqlite)
            return new TestStore(folder, null, null);
        var server = Environment.GetEnvironmentVariable("BACKTRACKER_TEST_POSTGRES");
        Assert.SkipWhen(string.IsNullOrEmpty(server), "No PostgreSQL server: scripts/test starts one where it can and names it in BACKTRACKER_TEST_POSTGRES.");
        var name = "t" + Guid.NewGuid().ToString("N");
        await ExecuteAsync(server!, $"create database {name}");
        return new TestStore(folder, server, new NpgsqlConnectionStringBuilder(server) { Database = name }.ToString());
    }

    /// <summary>How many rows there are on PostgreSQL.</summary>
    public async Task<long> CountAsync(string rows)
    {
        await using var connection = new NpgsqlConnection(Connection);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand($"select count(*) from {rows}", connection);
        return (long)(await command.ExecuteScalarAsync())!;
    }

    public async ValueTask DisposeAsync()
    {
        if (Connection is not null)
            await ExecuteAsync(_server!, $"drop database {new NpgsqlConnectionStringBuilder(Connection).Database} with (force)");
        Directory.Delete(Folder, recursive: true);
    }

    private static async Task ExecuteAsync(string server, string sql)
    {
        await using var connection = new NpgsqlConnection(server);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync();
    }
}
