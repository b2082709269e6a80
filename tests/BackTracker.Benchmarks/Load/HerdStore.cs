using System.Diagnostics;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Assessments;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Sessions;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;

namespace BackTracker.Benchmarks.Load;

/// <summary>A store of the run's own with a herd that has been assessed; gone when the run is over.</summary>
internal sealed class HerdStore : IAsyncDisposable
{
    private const int HorsesOfAYard = 40;
    private readonly string? _server;

    private HerdStore(string? server, string? connection)
    {
        _server = server;
        Connection = connection;
    }

    /// <summary>The data folder.</summary>
    public string Folder { get; } = Directory.CreateTempSubdirectory("backtracker-load-").FullName;

    /// <summary>The database on the server; null for the file in the folder.</summary>
    public string? Connection { get; }

    /// <summary>The options that name the store to any command.</summary>
    public string[] Arguments => Connection is null ? ["--data", Folder] : ["--data", Folder, "--database", Connection];

    public static async Task<HerdStore> FillAsync(LoadOptions options, int horses)
    {
        var store = new HerdStore(options.Server, options.Server is null ? null : await MakeDatabaseAsync(options.Server));
        await using var dialect = Dialect.Choose(store.Folder, store.Connection);
        var database = new Database(dialect, TimeProvider.System);
        await database.PrepareAsync(CancellationToken.None);
        var empty = await BytesAsync(dialect);
        var yards = await Herd.RegisterAsync(database, horses, HorsesOfAYard);
        var registered = await BytesAsync(dialect);
        foreach (var (yardId, count) in yards)
            await Herd.MeasureAsync(database, store.Folder, yardId, count);
        var measured = await BytesAsync(dialect);
        var (watch, processor) = (Stopwatch.StartNew(), Process.GetCurrentProcess().TotalProcessorTime);
        var result = await new Assessor(database, TimeProvider.System, new CheckPolicy(), new AlertPolicy(), NullLogger<Assessor>.Instance).DrainAsync(CancellationToken.None);
        if (result.Assessed != horses)
            throw new InvalidOperationException($"{result.Assessed} of {horses} horses were assessed.");
        var took = (Process.GetCurrentProcess().TotalProcessorTime - processor).TotalMilliseconds / horses;
        Say.Line($"herd of {horses} in {yards.Count} yards on {dialect.Name}: assessed in {watch.Elapsed.TotalSeconds:F1} s, {took:F1} ms of processor a horse (the server of a database apart)");
        Say.Line($"bytes on disk: a horse with saddle and pairing {(registered - empty) / horses}, each of its {Herd.Sessions} sessions {(measured - registered) / horses / Herd.Sessions}, its first assessment with checks and alerts {(await BytesAsync(dialect) - measured) / horses}; all {await BytesAsync(dialect) / 1048576.0:F0} MiB");
        return store;
    }

    /// <summary>What it takes on disk.</summary>
    public async Task<long> BytesAsync()
    {
        await using var dialect = Dialect.Choose(Folder, Connection);
        return await BytesAsync(dialect);
    }

    /// <summary>Says how long a backup takes while nothing else goes on.</summary>
    public async Task TimeBackupAsync()
    {
        var file = Path.Combine(Folder, "trial-backup.db");
        var watch = Stopwatch.StartNew();
        using var backup = Server.Start(new Dictionary<string, string>(), ["backtracker.dll", "backup", file, .. Arguments]);
        await backup.WaitForExitAsync();
        var size = new FileInfo(file).Length;
        Say.Line($"backup: {size / 1048576.0:F0} MiB in {watch.Elapsed.TotalSeconds:F1} s, {watch.Elapsed.TotalSeconds / size * 1e9:F1} s a GB, start of the command included");
        File.Delete(file);
    }

    public async ValueTask DisposeAsync()
    {
        if (Connection is not null)
            await ExecuteAsync(_server!, $"drop database {new NpgsqlConnectionStringBuilder(Connection).Database} with (force)");
        Directory.Delete(Folder, recursive: true);
    }

    private static async Task<long> BytesAsync(Dialect dialect)
    {
        await using var connection = await dialect.OpenAsync(CancellationToken.None);
        await using var command = connection.CreateCommand();
        command.CommandText = dialect is SqliteDialect ? "select page_count * page_size from pragma_page_count(), pragma_page_size()" : "select pg_database_size(current_database())";
        return (long)(await command.ExecuteScalarAsync())!;
    }

    private static async Task<string> MakeDatabaseAsync(string server)
    {
        var name = $"load{Guid.NewGuid():N}";
        await ExecuteAsync(server, $"create database {name}");
        return new NpgsqlConnectionStringBuilder(server) { Database = name }.ToString();
    }

    private static async Task ExecuteAsync(string server, string sql)
    {
        await using var source = NpgsqlDataSource.Create(server);
        await using var command = source.CreateCommand(sql);
        await command.ExecuteNonQueryAsync();
    }
}
