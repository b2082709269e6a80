using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Imports;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>What the page of the imports shows.</summary>
/// <param name="Running">Those on their way.</param>
/// <param name="Over">Those that are over, the last first.</param>
public sealed record ImportsModel(IReadOnlyList<ImportAnswer> Running, IReadOnlyList<ImportAnswer> Over);

/// <summary>The page that says what is being imported and what was.</summary>
internal static class ImportPages
{
    private const int MostShown = 50;

    public static void MapImportPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/imports", ShowAsync).Needs(Scope.Read);
        routes.MapPage("/imports/{id}/progress", (string id, Caller caller, ImportProgress progress, CancellationToken cancel) => progress.StreamToPageAsync(caller, id, cancel)).Needs(Scope.Read);
    }

    private static async Task<IResult> ShowAsync(HttpContext http, Caller caller, Database database, ImportProgress progress, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var over = await ImportStore.LatestAsync(session, caller.Sight, caller.KeyId, MostShown);
        return PageRoutes.Show<ImportsPage>(http, new ImportsModel(
            await progress.RunningAsync(session, caller),
            [.. over.Select(import => Json.ReadStored<ImportAnswer>(import.Body))]));
    }
}
