using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Visits;

/// <summary>The visit sheet with the choice of whose visit it is.</summary>
/// <param name="Sheet">The sheet.</param>
/// <param name="Fitters">Who may come.</param>
public sealed record VisitSheetModel(VisitSheet Sheet, IReadOnlyList<Named> Fitters);

/// <summary>The page of the visit sheet; it prints as it stands, and as PDF.</summary>
internal static class VisitPages
{
    public static void MapVisitPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/yards/{id}/visit-sheet", ShowAsync).Needs(Scope.Read);
        routes.MapPage("/yards/{id}/visit-sheet.pdf", VisitSheetEndpoints.PdfAsync).Needs(Scope.Read);
    }

    private static async Task<IResult> ShowAsync(
        HttpContext http, string id, string? fitterId, string? on, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var sheet = await VisitSheetEndpoints.SheetAsync(id, NotEmpty(fitterId), DayOf(on), caller, database, clock, policy, cancel);
        await using var session = await database.ReadAsync(cancel);
        var people = (await PersonStore.ListAsync(session, caller.Sight, sheet.Yard.Id, null, Paging.First)).Items;
        return PageRoutes.Show<VisitSheetPage>(http, new VisitSheetModel(
            sheet, [.. people.Where(person => person.Role is "fitter" or "saddler").Select(person => new Named(person.Id, person.Name))]));
    }

    // A form sends empty what was not chosen.
    private static string? NotEmpty(string? text) => string.IsNullOrEmpty(text) ? null : text;

    private static QueryDay? DayOf(string? text) => NotEmpty(text) is null
        ? null
        : QueryDay.TryParse(text, null, out var day) ? day : throw new ProblemException(ProblemKind.BadQuery, QueryDay.Hint);
}
