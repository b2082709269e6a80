using BackTracker.Service.Features.Horses;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.People;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>The order of a saddle made to measure, as its page shows it.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Horse">The horse.</param>
/// <param name="Saddles">The saddles of the yard that are not being made yet.</param>
/// <param name="Saddlers">Who may make it.</param>
/// <param name="Form">What is filled in.</param>
public sealed record CommissionOrderModel(
    Named Yard, Named Horse, IReadOnlyList<(string Value, string Text)> Saddles, IReadOnlyList<(string Value, string Text)> Saddlers, FormState Form);

/// <summary>The page on which a saddle made to measure is ordered for a horse.</summary>
internal sealed class CommissionOrderPages(Database database, TimeProvider clock)
{
    private const int MostOffered = 500;

    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapPage("/horses/{id}/commission", async (HttpContext http, string id, Caller caller, CommissionOrderPages pages) =>
            PageRoutes.Show<CommissionOrderPage>(http, await pages.LoadAsync(http, id, caller))).Needs(Scope.Manage);
        routes.MapForm("/horses/{id}/commission", TakeAsync).Needs(Scope.Manage);
    }

    private static async Task<IResult> TakeAsync(HttpContext http, string id, Caller caller, Writes writes, CommissionOrderPages pages)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.MakeAsync(
            http, form, () => CommissionEndpoints.OrderAsync(http, form.Read<CommissionRequest>() with { HorseId = id }, caller, writes),
            async again => PageRoutes.Show<CommissionOrderPage>(http, await pages.LoadAsync(http, id, caller) with { Form = again }, StatusCodes.Status422UnprocessableEntity));
    }

    private async Task<CommissionOrderModel> LoadAsync(HttpContext http, string id, Caller caller)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var all = new Page("", MostOffered);
        var ordered = (await CommissionStore.ListAsync(session, caller.Sight, new CommissionFilter(horse.YardId, null, null), all)).Items.Select(made => made.SaddleId).ToHashSet();
        var saddles = (await SaddleStore.ListAsync(session, caller.Sight, horse.YardId, all)).Items.Where(saddle => !ordered.Contains(saddle.Id) && saddle.Tree != "treeless");
        var saddlers = (await PersonStore.ListAsync(session, caller.Sight, horse.YardId, "saddler", all)).Items;
        return new CommissionOrderModel(
            await Named.YardAsync(session, caller, horse.YardId), new(horse.Id, horse.Name),
            [("", "Choose"), .. saddles.Reverse().Select(saddle => (saddle.Id, saddle.Label))], [("", "Choose"), .. saddlers.Select(person => (person.Id, person.Name))],
            FormState.New(clock, ("/orderedOn", Instants.WriteDay(HorseDays.Today(horse, clock.GetUtcNow())))));
    }
}
