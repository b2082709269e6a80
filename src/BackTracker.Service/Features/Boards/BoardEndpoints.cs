using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Boards;

/// <summary>The yard board.</summary>
internal static class BoardEndpoints
{
    public static void MapBoards(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/v1/yards/{id}/board", GetAsync).WithTags("Yards").Needs(Scope.Read).Computes<BoardAnswer>("Who in a yard needs what, when and why");

    private static async Task<IResult> GetAsync(string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        return Json.Answer(await BoardBuilder.LoadAsync(session, yard, clock, policy));
    }
}
