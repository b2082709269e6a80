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
/// <param name="LookingAgain">How far it is with the horses that are looked at again, after something changed for many of them; null where nothing did.</param>
/// <param name="Acknowledging">The form of every alert that whoever looks may acknowledge, by alert.</param>
public sealed record BoardModel(BoardAnswer Board, bool MayRecord, Progress? LookingAgain, IReadOnlyDictionary<string, FormState> Acknowledging);

/// <summary>The page of the yard board.</summary>
internal static class BoardPages
{
    // A single one is soon done.
    private const int WorthTelling = 2;

    public static void MapBoardPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/yards/{id}", ShowAsync).Needs(Scope.Read);
        routes.MapPage("/yards/{id}/progress", FollowAsync).Needs(Scope.Read);
    }

    private static async Task<IResult> ShowAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        var (board, mayRecord) = (await BoardBuilder.LoadAsync(session, yard, clock, policy), caller.May(Scope.Record));
        var forms = board.Alerts.Where(alert => mayRecord && !alert.Acknowledged).ToDictionary(alert => alert.Id, alert => FormState.New(clock) with { Mark = alert.Id });
        return PageRoutes.Show<BoardPage>(http, new BoardModel(board, mayRecord, await LookingAgainAsync(session, yard.Id, clock) is { IsOver: false } progress ? progress : null, forms));
    }

    private static async Task<IResult> FollowAsync(string id, Caller caller, Database database, TimeProvider clock, Followed followed, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        return followed.Stream(await LookingAgainAsync(session, yard.Id, clock), LookAsync, progress => progress.IsOver, cancel);

        async Task<Progress?> LookAsync(CancellationToken token)
        {
            await using var again = await database.ReadAsync(token);
            return await LookingAgainAsync(again, yard.Id, clock);
        }
    }

    private static async Task<Progress> LookingAgainAsync(ReadSession session, string yardId, TimeProvider clock)
    {
        var queued = await WorkQueueStore.OfYardAsync(session, yardId, clock.GetUtcNow());
        return queued.Waiting < WorthTelling
            ? new Progress(queued.Horses, queued.Horses, "All were looked at again.", true)
            : new Progress(queued.Horses - queued.Waiting, queued.Horses, $"Something changed for {queued.Waiting} horses, and they are being looked at again.", false);
    }
}
