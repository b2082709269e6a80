using System.Data.Common;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Tests.Harness;

/// <summary>The store as it lies, for what no route writes or shows.</summary>
internal static class RawStore
{
    public static async Task ExecuteAsync(this RunningService service, string sql)
    {
        await using var connection = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = Command(connection, sql);
        await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>Every row of a table as text.</summary>
    public static async Task<string> DumpAsync(this RunningService service, string table)
    {
        await using var connection = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = Command(connection, $"select * from {table} order by id");
        await using var rows = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        var lines = new List<string>();
        while (await rows.ReadAsync(TestContext.Current.CancellationToken))
            lines.Add($"{table}: {string.Join('|', Enumerable.Range(0, rows.FieldCount).Select(i => rows.GetValue(i)))}");
        return string.Join('\n', lines) + '\n';
    }

    /// <summary>Asks for a horse to be assessed again.</summary>
    public static async Task QueueAsync(this RunningService service, string horseId)
    {
        await using var session = await service.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        await WorkQueueStore.AddHorseAsync(session, horseId);
        await session.CommitAsync();
    }

    private static DbCommand Command(DbConnection connection, string sql)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        return command;
    }
}
