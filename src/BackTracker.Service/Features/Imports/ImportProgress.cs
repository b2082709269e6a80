using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Imports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>How far an import is, until it is over.</summary>
internal sealed class ImportProgress(Database database, ImportDesk desk, Followed followed, ServeOptions options, TimeProvider clock, ILogger<ImportBeat> log)
{
    /// <summary>How an import stands; null where the caller sees none such.</summary>
    public async Task<ImportAnswer?> FindAsync(Caller caller, string id, CancellationToken cancel)
    {
        if (desk.SeenBy(caller).FirstOrDefault(run => run.Id == Ids.Canonical(id)) is { } running)
            return running.Answer(ImportState.Running);
        await using var session = await database.ReadAsync(cancel);
        return await ImportStore.FindAsync(session, caller.Sight, caller.KeyId, Ids.Canonical(id) ?? "", clock.GetUtcNow()) is { } found ? Json.ReadStored<ImportAnswer>(found.Body) : null;
    }

    /// <summary>Tells other instances how far one is until that is disposed; on a file there are none.</summary>
    public IAsyncDisposable? Tell(ImportRun run) => options.Database is null ? null : new ImportBeat(run, database, clock, log);

    /// <summary>Those that are not over, at this instance or at another.</summary>
    public async Task<IReadOnlyList<ImportAnswer>> RunningAsync(ReadSession session, Caller caller)
    {
        var here = desk.SeenBy(caller).Select(run => run.Answer(ImportState.Running)).ToList();
        var said = await ImportStore.RunningAsync(session, caller.Sight, caller.KeyId, clock.GetUtcNow());
        return [.. here.UnionBy(said.Select(row => Json.ReadStored<ImportAnswer>(row.Body)), import => import.Id).OrderBy(import => import.Id, StringComparer.Ordinal)];
    }

    /// <summary>The stream of how it stands.</summary>
    /// <exception cref="ProblemException">There is none such.</exception>
    public async Task<IResult> StreamAsync(Caller caller, string id, CancellationToken cancel)
    {
        // What was given up, or only checked, is kept nowhere: its stream ends with the last that was seen of it.
        return followed.Stream(await RequireAsync(caller, id, cancel), token => FindAsync(caller, id, token), import => import.State != ImportState.Running, cancel);
    }

    /// <summary>The same for the bar of a page.</summary>
    /// <exception cref="ProblemException">There is none such.</exception>
    public async Task<IResult> StreamToPageAsync(Caller caller, string id, CancellationToken cancel)
    {
        return followed.Stream(OnPage(await RequireAsync(caller, id, cancel)), async token => await FindAsync(caller, id, token) is { } import ? OnPage(import) : null, progress => progress.IsOver, cancel);
    }

    /// <summary>How an import stands beside a bar.</summary>
    public static Progress OnPage(ImportAnswer import) =>
        new(import.BytesRead, Math.Max(1, import.Bytes), $"{import.LinesRead} lines looked through, {import.FaultCount} faults.", import.State != ImportState.Running);

    private async Task<ImportAnswer> RequireAsync(Caller caller, string id, CancellationToken cancel) =>
        await FindAsync(caller, id, cancel) ?? throw ProblemException.NotFound("import", id);
}
