using BackTracker.Engine.Checks;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Paper;
using BackTracker.Storage;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Visits;

/// <summary>The sheet a fitter takes along.</summary>
internal static class VisitSheetEndpoints
{
    private const int LongestDaysAhead = 366;

    public static void MapVisitSheets(this IEndpointRouteBuilder routes)
    {
        var yard = routes.MapGroup("/v1/yards/{id}").WithTags("Visits");
        yard.MapGet("/visit-sheet", GetAsync).Needs(Scope.Read).Computes<VisitSheet>("Who is to be looked at on a visit, why, what moved and what to bring");
        yard.MapGet("/visit-sheet.pdf", PdfAsync).Needs(Scope.Read).Prints("The same on paper, with room for what was found and changed");
        var visit = routes.MapGroup("/v1/visits/{id}").WithTags("Visits");
        visit.MapGet("/sheet", GetOfVisitAsync).Needs(Scope.Read).Computes<VisitSheet>("The sheet of a planned visit: its own checks and no others").Refuses(ProblemKind.Conflict);
        visit.MapGet("/sheet.pdf", PdfOfVisitAsync).Needs(Scope.Read).Prints("The same on paper").Refuses(ProblemKind.Conflict);
    }

    private static async Task<IResult> GetAsync(
        string id, string? fitterId, QueryDay? on, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel) =>
        Json.Answer(await SheetAsync(id, fitterId, on, caller, database, clock, policy, cancel));

    public static async Task<IResult> PdfAsync(
        HttpContext http, string id, string? fitterId, QueryDay? on, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel) =>
        Print(http, await SheetAsync(id, fitterId, on, caller, database, clock, policy, cancel));

    private static async Task<IResult> GetOfVisitAsync(string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel) =>
        Json.Answer(await SheetOfVisitAsync(id, caller, database, clock, policy, cancel));

    public static async Task<IResult> PdfOfVisitAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel) =>
        Print(http, await SheetOfVisitAsync(id, caller, database, clock, policy, cancel));

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

    /// <summary>The sheet of a planned visit; of one whose day went by without a report as of today.</summary>
    public static async Task<VisitSheet> SheetOfVisitAsync(string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var visit = await VisitEndpoints.RequireAsync(session, caller, id);
        if (visit.State != "planned")
            throw new ProblemException(ProblemKind.Conflict, "The visit is over: there is nothing to take along any more. What was found stands with its checks.");
        var yard = await YardEndpoints.RequireAsync(session, caller, visit.YardId);
        var fitter = (await PersonStore.FindAsync(session, Sight.All, visit.FitterId))!;
        var today = YardTime.Day(yard.TimeZone, clock.GetUtcNow());
        var planned = Instants.ReadDay(visit.OnDay);
        return await new VisitSheetBuilder(today, planned < today ? today : planned, policy).BuildAsync(session, yard, fitter, visit.Id);
    }

    private static IResult Print(HttpContext http, VisitSheet sheet) => PaperAnswer.Of(http, $"visit-sheet-{Instants.WriteDay(sheet.On)}", VisitSheetPaper.Print(sheet));
}
