using System.Net.ServerSentEvents;
using System.Runtime.CompilerServices;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Imports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>How far an import is, told again whenever it is further, until it is over.</summary>
internal sealed class ImportProgress(Database database, ImportDesk desk, TimeProvider clock)
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(500);

    /// <summary>How an import stands; null where the caller sees none such.</summary>
    public async Task<ImportAnswer?> FindAsync(Caller caller, string id, CancellationToken cancel)
    {
        if (desk.SeenBy(caller).FirstOrDefault(run => run.Id == Ids.Canonical(id)) is { } running)
            return running.Answer(ImportState.Running);
        await using var session = await database.ReadAsync(cancel);
        return await ImportStore.FindAsync(session, caller.Sight, caller.KeyId, Ids.Canonical(id) ?? "") is { } over ? Json.ReadStored<ImportAnswer>(over.Body) : null;
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
