using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Boards;

/// <summary>What the page of the yard board shows.</summary>
/// <param name="Board">The board.</param>
/// <param name="MayRecord">Whether whoever looks may measure.</param>
/// <param name="Waiting">How many horses are still to be looked at again, after something changed for all of them.</param>
/// <param name="Acknowledging">The form of every alert that whoever looks may acknowledge, by alert.</param>
public sealed record BoardModel(BoardAnswer Board, bool MayRecord, long Waiting, IReadOnlyDictionary<string, FormState> Acknowledging);

/// <summary>The page of the yard board.</summary>
internal static class BoardPages
{
    public static void MapBoardPages(this IEndpointRouteBuilder routes) => routes.MapPage("/yards/{id}", ShowAsync).Needs(Scope.Read);

    private static async Task<IResult> ShowAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        var (board, mayRecord) = (await BoardBuilder.LoadAsync(session, yard, clock, policy), caller.May(Scope.Record));
        var forms = board.Alerts.Where(alert => mayRecord && !alert.Acknowledged).ToDictionary(alert => alert.Id, alert => FormState.New(clock) with { Mark = alert.Id });
        return PageRoutes.Show<BoardPage>(http, new BoardModel(board, mayRecord, await WorkQueueStore.CountOfYardAsync(session, yard.Id), forms));
    }
}
