using System.Globalization;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Tests.Harness;

/// <summary>A database of a test's own with the schema in it, and a clock the test holds.</summary>
internal sealed class OpenStore : IAsyncDisposable
{
    private readonly TestStore _place;

    private OpenStore(TestStore place, Dialect dialect)
    {
        _place = place;
        Dialect = dialect;
        Database = new Database(dialect, Clock);
    }

    public Dialect Dialect { get; }

    public Database Database { get; }

    public HeldClock Clock { get; } = new();

    /// <summary>A folder that goes with the store.</summary>
    public string Folder => _place.Folder;

    public static async Task<OpenStore> CreateAsync(StoreKind kind)
    {
        var store = await CreateBareAsync(kind);
        await store.Database.PrepareAsync(TestContext.Current.CancellationToken);
        return store;
    }

    /// <summary>One without a schema.</summary>
    public static async Task<OpenStore> CreateBareAsync(StoreKind kind)
    {
        var place = await TestStore.CreateAsync(kind);
        return new OpenStore(place, Dialect.Choose(place.Folder, place.Connection));
    }

    public Task ExecuteAsync(string sql) => ExecuteAsync(Dialect, sql);

    public static async Task ExecuteAsync(Dialect dialect, string sql)
    {
        await using var connection = await dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = connection.CreateCommand();
        command.CommandText = sql;
        await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
    }

    public Task<IReadOnlyList<string>> ListAsync(string sql) => ListAsync(Dialect, sql);

    /// <summary>Rows as text, cells parted by bars.</summary>
    public static async Task<IReadOnlyList<string>> ListAsync(Dialect dialect, string sql)
    {
        await using var connection = await dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = connection.CreateCommand();
        command.CommandText = sql;
        await using var reader = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        var rows = new List<string>();
        while (await reader.ReadAsync(TestContext.Current.CancellationToken))
            rows.Add(string.Join('|', Enumerable.Range(0, reader.FieldCount).Select(i => Convert.ToString(reader.GetValue(i), CultureInfo.InvariantCulture))));
        return rows;
    }

    /// <summary>Everything that is kept, a line a row.</summary>
    public static async Task<IReadOnlyList<string>> DumpAsync(Dialect dialect)
    {
        var dump = new List<string>();
        foreach (var table in StoreTables.InOrder)
            dump.AddRange((await ListAsync(dialect, $"select * from {table}")).Select(row => $"{table}: {row}").Order(StringComparer.Ordinal));
        return dump;
    }

    public async ValueTask DisposeAsync()
    {
        await Dialect.DisposeAsync();
        await _place.DisposeAsync();
    }
}

/// <summary>Time stands still unless the test moves it.</summary>
internal sealed class HeldClock : TimeProvider
{
    public DateTimeOffset Now { get; set; } = new(2026, 11, 25, 9, 0, 0, TimeSpan.Zero);

    public override DateTimeOffset GetUtcNow() => Now;
}
