using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Tests.Harness;

/// <summary>What no route writes.</summary>
internal static class RawStore
{
    public static async Task ExecuteAsync(this RunningService service, string sql)
    {
        await using var connection = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = connection.CreateCommand();
        command.CommandText = sql;
        await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>Asks for a horse to be assessed again.</summary>
    public static async Task QueueAsync(this RunningService service, string horseId)
    {
        await using var session = await service.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        await WorkQueueStore.AddHorseAsync(session, horseId);
        await session.CommitAsync();
    }
}
