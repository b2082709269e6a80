using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.People;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Visits;

/// <summary>The visit sheet with the choice of whose visit it is.</summary>
/// <param name="Sheet">The sheet.</param>
/// <param name="Pdf">Where it is as PDF.</param>
/// <param name="Fitters">Who may come; empty where that is settled.</param>
public sealed record VisitSheetModel(VisitSheet Sheet, string Pdf, IReadOnlyList<Named> Fitters);

/// <summary>The pages of visits, and the sheet, which prints as it stands and as PDF.</summary>
internal static class VisitPages
{
    public static void MapVisitPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/yards/{id}/visit-sheet", ShowAsync).Needs(Scope.Read);
        routes.MapPage("/yards/{id}/visit-sheet.pdf", VisitSheetEndpoints.PdfAsync).Needs(Scope.Read);
        routes.MapPage("/visits/{id}/sheet", ShowOfVisitAsync).Needs(Scope.Read);
        routes.MapPage("/visits/{id}/sheet.pdf", VisitSheetEndpoints.PdfOfVisitAsync).Needs(Scope.Read);
        routes.MapPage("/visits/{id}", (HttpContext http, string id, Caller caller, VisitPageLoader pages) => VisitAsync(http, id, caller, pages)).Needs(Scope.Read);
        MapStep<CompleteVisitRequest>(routes, VisitStep.Complete, VisitEndpoints.CompleteAsync);
        MapStep<MoveVisitRequest>(routes, VisitStep.Move, VisitEndpoints.MoveAsync);
        MapStep<ReasonRequest>(routes, VisitStep.FallThrough, VisitEndpoints.FallThroughAsync);
        routes.MapForm("/yards/{id}/checks/visit", PlanAsync).Needs(Scope.Manage, Scope.Fit);
    }

    private static async Task<IResult> ShowAsync(
        HttpContext http, string id, string? fitterId, string? on, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var sheet = await VisitSheetEndpoints.SheetAsync(id, NotEmpty(fitterId), DayOf(on), caller, database, clock, policy, cancel);
        await using var session = await database.ReadAsync(cancel);
        var people = await PersonChoices.OfYardAsync(session, caller, sheet.Yard.Id);
        return PageRoutes.Show<VisitSheetPage>(http, new VisitSheetModel(
            sheet, $"/yards/{sheet.Yard.Id}/visit-sheet.pdf?on={Instants.WriteDay(sheet.On)}{(sheet.Fitter is { } fitter ? $"&fitterId={fitter.Id}" : "")}",
            [.. people.Where(person => person.Role is "fitter" or "saddler").Select(person => new Named(person.Id, person.Name))]));
    }

    private static async Task<IResult> ShowOfVisitAsync(
        HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel) =>
        PageRoutes.Show<VisitSheetPage>(http, new VisitSheetModel(
            await VisitSheetEndpoints.SheetOfVisitAsync(id, caller, database, clock, policy, cancel), $"/visits/{id}/sheet.pdf", []));

    private static async Task<IResult> VisitAsync(HttpContext http, string id, Caller caller, VisitPageLoader pages) =>
        PageRoutes.Show<VisitPage>(http, await pages.LoadAsync(http, id, caller, new Dictionary<VisitStep, FormState>()));

    private static void MapStep<T>(IEndpointRouteBuilder routes, VisitStep step, Func<HttpContext, string, T, Caller, VisitLife, Task<IResult>> handler) =>
        routes.MapForm($"/visits/{{id}}/{Words.Write(step)}", async (HttpContext http, string id, Caller caller, VisitLife life, VisitPageLoader pages) =>
        {
            var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
            return await FormPost.TakeAsync(
                http, form, () => handler(http, id, form.Read<T>(), caller, life), $"/visits/{id}",
                async again => PageRoutes.Show<VisitPage>(http, await pages.LoadAsync(http, id, caller, new Dictionary<VisitStep, FormState> { [step] = again }), StatusCodes.Status422UnprocessableEntity));
        }).Needs(VisitSteps.Needs(step));

    private static async Task<IResult> PlanAsync(HttpContext http, string id, Caller caller, VisitLife life, CheckList list)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.MakeAsync(
            http, form, () => VisitEndpoints.PlanAsync(http, form.Read<VisitRequest>() with { YardId = id }, caller, life),
            async again => PageRoutes.Show<CheckListPage>(http, await list.LoadAsync(http, id, "", "", caller, again), StatusCodes.Status422UnprocessableEntity));
    }

    // A form sends empty what was not chosen.
    private static string? NotEmpty(string? text) => string.IsNullOrEmpty(text) ? null : text;

    private static QueryDay? DayOf(string? text) => NotEmpty(text) is null
        ? null
        : QueryDay.TryParse(text, null, out var day) ? day : throw new ProblemException(ProblemKind.BadQuery, QueryDay.Hint);
}
