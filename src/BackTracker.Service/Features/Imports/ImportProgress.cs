using System.Net.ServerSentEvents;
using System.Runtime.CompilerServices;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Imports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>How far an import is, told again whenever it is further, until it is over.</summary>
internal sealed class ImportProgress(Database database, ImportDesk desk, ServeOptions options, TimeProvider clock, ILogger<ImportBeat> log)
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(500);

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
        var first = await FindAsync(caller, id, cancel) ?? throw ProblemException.NotFound("import", id);
        return TypedResults.ServerSentEvents(FollowAsync(caller, first, cancel));
    }

    // What was given up, or only checked, is kept nowhere: its stream ends with the last that was seen of it.
    private async IAsyncEnumerable<SseItem<string>> FollowAsync(Caller caller, ImportAnswer first, [EnumeratorCancellation] CancellationToken cancel)
    {
        var told = "";
        for (var now = first; now is not null; now = await FindAsync(caller, first.Id, cancel))
        {
            if (Json.Write(now) is var text && text != told)
                yield return new SseItem<string>(told = text);
            if (now.State != ImportState.Running)
                yield break;
            await Task.Delay(LookEvery, clock, cancel);
        }
    }
}
