using System.Data.Common;
using BackTracker.Storage;
using BackTracker.Storage.Migrations;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Hosting;

/// <summary>Ends an instance under which a newer version took a step of the schema that this one cannot go on beside: what it went on to write might be wrong.</summary>
internal sealed class SchemaWatch(Database database, IHostApplicationLifetime lifetime) : BackgroundService
{
    // Other processes are what it looks out for, so it goes by the time that passes here.
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(5);

    /// <summary>Why it ended the instance; null where it did not.</summary>
    public StorageException? Refusal { get; private set; }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(LookEvery);
        try
        {
            while (Refusal is null && await timer.WaitForNextTickAsync(stoppingToken))
                Refusal = await LookAsync(stoppingToken);
            lifetime.StopApplication();
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Told to stop anyway.
        }
    }

    private async Task<StorageException?> LookAsync(CancellationToken cancel)
    {
        try
        {
            return await Migrator.RefusalAsync(database.Dialect, cancel);
        }
        catch (DbException)
        {
            return null; // The store is away, which whoever uses it says; it is looked at again.
        }
    }
}
