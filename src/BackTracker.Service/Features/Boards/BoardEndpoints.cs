using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Boards;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Observations;
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
        var board = new BoardBuilder(YardTime.Day(yard.TimeZone, clock.GetUtcNow()), policy)
        {
            Assessments = (await AssessmentStore.LatestInYardAsync(session, yard.Id)).ToDictionary(a => a.HorseId),
            Checks = (await CheckStore.AliveInYardAsync(session, yard.Id)).ToLookup(c => c.HorseId),
            Observations = (await ObservationStore.OpenInYardAsync(session, yard.Id)).ToLookup(o => o.HorseId),
        };
        return Results.Json(board.Build(yard, await BoardStore.HorsesAsync(session, yard.Id)), Json.Options);
    }
}
