using BackTracker.Engine.Checks;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Visits;

/// <summary>The sheet a fitter takes along.</summary>
internal static class VisitEndpoints
{
    private const int LongestDaysAhead = 366;

    public static void MapVisits(this IEndpointRouteBuilder routes)
    {
        var yard = routes.MapGroup("/v1/yards/{id}").WithTags("Visits");
        yard.MapGet("/visit-sheet", GetAsync).Needs(Scope.Read).Computes<VisitSheet>("Who is to be looked at on a visit, why, what moved and what to bring");
        yard.MapGet("/visit-sheet.pdf", PdfAsync).Needs(Scope.Read).Prints("The same on paper, with room for what was found and changed");
    }

    private static async Task<IResult> GetAsync(
        string id, string? fitterId, QueryDay? on, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel) =>
        Results.Json(await SheetAsync(id, fitterId, on, caller, database, clock, policy, cancel), Json.Options);

    public static async Task<IResult> PdfAsync(
        HttpContext http, string id, string? fitterId, QueryDay? on, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var sheet = await SheetAsync(id, fitterId, on, caller, database, clock, policy, cancel);
        http.Response.Headers.ContentDisposition = $"inline; filename=\"visit-sheet-{Instants.WriteDay(sheet.On)}.pdf\"";
        return Results.Bytes(VisitSheetPaper.Print(sheet), "application/pdf");
    }

    /// <summary>The sheet of a yard, for a fitter of its own or whoever comes.</summary>
    public static async Task<VisitSheet> SheetAsync(
        string id, string? fitterId, QueryDay? on, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        var fitter = fitterId is null ? null : await PersonEndpoints.RequireAsync(session, caller, fitterId);
        if (fitter is { Role: not ("fitter" or "saddler") })
            throw new ProblemException(ProblemKind.BadQuery, $"{fitter.Name} is a {fitter.Role}. A visit sheet is for a fitter or saddler, or without fitterId for whoever comes.");
        var today = YardTime.Day(yard.TimeZone, clock.GetUtcNow());
        var day = on?.Day ?? today;
        if (day < today || day > today.AddDays(LongestDaysAhead))
            throw new ProblemException(ProblemKind.BadQuery, $"A visit sheet is for today, {Instants.WriteDay(today)}, or a day within the next year.");
        return await new VisitSheetBuilder(today, day, policy).BuildAsync(session, yard, fitter);
    }
}
