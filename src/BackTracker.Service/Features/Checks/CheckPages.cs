using BackTracker.Service.Http;
using BackTracker.Service.Pages;

namespace BackTracker.Service.Features.Checks;

/// <summary>The pages of checks: one to read with the forms that move it on, and the list of a yard.</summary>
internal static class CheckPages
{
    public static void MapCheckPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/checks/{id}", ShowAsync).Needs(Scope.Read);
        MapMove<BookRequest>(routes, CheckMove.Book, CheckEndpoints.BookAsync);
        MapMove<ReasonRequest>(routes, CheckMove.Unbook, CheckEndpoints.UnbookAsync);
        MapMove<CompleteRequest>(routes, CheckMove.Complete, CheckEndpoints.CompleteAsync);
        MapMove<PostponeRequest>(routes, CheckMove.Postpone, CheckEndpoints.PostponeAsync);
        MapMove<ReasonRequest>(routes, CheckMove.Drop, CheckEndpoints.DropAsync);
        routes.MapPage("/yards/{id}/checks", ListAsync).Needs(Scope.Read);
    }

    private static async Task<IResult> ListAsync(HttpContext http, string id, string? kind, string? fitterId, Caller caller, CheckList list) =>
        PageRoutes.Show<CheckListPage>(http, await list.LoadAsync(http, id, kind ?? "", fitterId ?? "", caller));

    private static async Task<IResult> ShowAsync(HttpContext http, string id, Caller caller, CheckPageLoader pages) =>
        PageRoutes.Show<CheckPage>(http, await pages.LoadAsync(http, id, caller));

    private static void MapMove<T>(IEndpointRouteBuilder routes, CheckMove move, Func<HttpContext, string, T, Caller, CheckLife, Task<IResult>> handler) =>
        routes.MapForm($"/checks/{{id}}/{Words.Write(move)}", async (HttpContext http, string id, Caller caller, CheckLife life, CheckPageLoader pages) =>
        {
            var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
            return await FormPost.TakeAsync(
                http, form, () => handler(http, id, form.Read<T>(), caller, life), $"/checks/{id}",
                async again => PageRoutes.Show<CheckPage>(http, await pages.LoadAsync(http, id, caller, move, again), StatusCodes.Status422UnprocessableEntity));
        }).Needs(CheckMoves.Needs(move));
}
