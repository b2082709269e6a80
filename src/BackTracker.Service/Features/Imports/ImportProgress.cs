using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Imports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>How far an import is, until it is over.</summary>
internal sealed class ImportProgress(Database database, ImportDesk desk, Followed followed)
{
    /// <summary>How an import stands; null where the caller sees none such.</summary>
    public async Task<ImportAnswer?> FindAsync(Caller caller, string id, CancellationToken cancel)
    {
        if (desk.SeenBy(caller).FirstOrDefault(run => run.Id == Ids.Canonical(id)) is { } running)
            return running.Answer(ImportState.Running);
        await using var session = await database.ReadAsync(cancel);
        return await ImportStore.FindAsync(session, caller.Sight, caller.KeyId, Ids.Canonical(id) ?? "") is { } over ? Json.ReadStored<ImportAnswer>(over.Body) : null;
    }

    // What was given up, or only checked, is kept nowhere: its stream ends with the last that was seen of it.

    /// <summary>The stream of how it stands.</summary>
    /// <exception cref="ProblemException">There is none such.</exception>
    public async Task<IResult> StreamAsync(Caller caller, string id, CancellationToken cancel)
    {
        await RequireAsync(caller, id, cancel);
        return followed.Stream(token => FindAsync(caller, id, token), import => import.State != ImportState.Running, cancel);
    }

    /// <summary>The same for the bar of a page.</summary>
    /// <exception cref="ProblemException">There is none such.</exception>
    public async Task<IResult> StreamToPageAsync(Caller caller, string id, CancellationToken cancel)
    {
        await RequireAsync(caller, id, cancel);
        return followed.Stream(async token => await FindAsync(caller, id, token) is { } import ? OnPage(import) : null, progress => progress.IsOver, cancel);
    }

    /// <summary>How an import stands beside a bar.</summary>
    public static Progress OnPage(ImportAnswer import) =>
        new(import.BytesRead, Math.Max(1, import.Bytes), $"{import.LinesRead} lines looked through, {import.FaultCount} faults.", import.State != ImportState.Running);

    private async Task RequireAsync(Caller caller, string id, CancellationToken cancel)
    {
        if (await FindAsync(caller, id, cancel) is null)
            throw ProblemException.NotFound("import", id);
    }
}
