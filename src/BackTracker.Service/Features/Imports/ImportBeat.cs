using System.Data.Common;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Imports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>Writes every second how far an import of this process is, for whoever asks another instance.</summary>
internal sealed partial class ImportBeat : IAsyncDisposable
{
    private static readonly TimeSpan Every = TimeSpan.FromSeconds(1);
    private readonly CancellationTokenSource _over = new();
    private readonly ImportRun _run;
    private readonly Database _database;
    private readonly ILogger<ImportBeat> _log;
    private readonly Task _beating;

    public ImportBeat(ImportRun run, Database database, TimeProvider clock, ILogger<ImportBeat> log)
    {
        (_run, _database, _log) = (run, database, log);
        _beating = BeatAsync(clock);
    }

    public async ValueTask DisposeAsync()
    {
        await _over.CancelAsync();
        await _beating;
        _over.Dispose();
        await TryAsync(session => ImportStore.ForgetRunningAsync(session, _run.Id), CancellationToken.None);
    }

    private async Task BeatAsync(TimeProvider clock)
    {
        using var timer = new PeriodicTimer(Every, clock);
        try
        {
            do
                await TryAsync(session => ImportStore.NoteRunningAsync(session, _run.Id, Json.Write(_run.Answer(ImportState.Running))), _over.Token);
            while (await timer.WaitForNextTickAsync(_over.Token));
        }
        catch (OperationCanceledException)
        {
            // It is over.
        }
    }

    /// <summary>An import does not fail because nobody could be told of it.</summary>
    private async Task TryAsync(Func<WriteSession, Task> note, CancellationToken cancel)
    {
        try
        {
            await using var session = await _database.WriteAsync(_run.KeyId, cancel);
            await note(session);
            await session.CommitAsync();
        }
        catch (Exception error) when (error is DbException or StorageException)
        {
            LogUntold(error, _run.Id);
        }
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "How far import {Id} is could not be told to other instances")]
    private partial void LogUntold(Exception error, string id);
}
