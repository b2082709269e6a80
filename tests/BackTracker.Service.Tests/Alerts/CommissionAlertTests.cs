using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Alerts;

/// <summary>A saddle that is being made and will hardly fit, as an alert: who hears of it, and that it ends.</summary>
public sealed class CommissionAlertTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task AtRisk_isToldOnceToTheManagerAndTheSaddler_andItsEndWhenItFitsAgain(StoreKind store)
    {
        await using var service = await AlertYard.StartAsync(store);
        var yard = await AlertYard.SettleAsync(service);
        var saddlerId = await yard.PersonAsync("Tamsin Rowe", "saddler");
        var (ada, saddler, fitter) = (await yard.SubscribeAsync(yard.ManagerId), await yard.SubscribeAsync(saddlerId), await yard.SubscribeAsync(yard.FitterId));
        var other = await yard.SubscribeAsync(await yard.PersonAsync("Wren Holt", "saddler"));
        var (path, order) = await OrderAsync(yard, saddlerId);

        var alert = await yard.AlertAsync("commission-risk");
        Assert.Equal(("commission", path[16..], "New hill saddle", "soon"), (Text(alert, "concern"), Text(alert, "commissionId"), Text(alert, "saddleLabel"), Text(alert, "urgency")));
        Assert.Equal("not-told: told only of what is booked with them", Assert.Single(await yard.DecisionsAsync(alert, other)));
        await yard.LiveAsync(TimeSpan.FromDays(2));
        foreach (var told in new[] { ada, saddler })
        {
            Assert.Equal(["waits-for-digest: new, waits for the morning's letter", "told: new, in the morning's letter"], await yard.DecisionsAsync(alert, told));
            var line = Assert.Single(Assert.Single(await yard.LettersAsync(told)).Body["lines"]!.AsArray())!;
            Assert.Equal(("raised", path[16..]), (Text(line, "news"), Text(line, "commissionId")));
        }
        Assert.Empty(await yard.LettersAsync(fitter));
        (await yard.AcknowledgeAsync(alert)).Should(HttpStatusCode.OK);

        (await yard.Admin.PutAsync(path, order(322), ("If-Match", "*"))).Should(HttpStatusCode.OK);
        await yard.AssessAsync();
        var settled = await yard.AlertAsync("commission-risk");
        Assert.Equal("settled", Text(settled, "state"));
        Assert.Matches("^It fits with (over )?[0-9]+ % on .* now.$", Text(settled, "settledWhy"));
        await yard.LiveAsync(TimeSpan.FromDays(1));
        Assert.Equal(["raised commission-risk", "settled commission-risk"], (await yard.LettersAsync(saddler)).SelectMany(letter => letter.Lines));
    }

    [Fact]
    public async Task AtRisk_ofASubscriptionThatChoosesIt_isToldOfThatAlone()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var chosen = await yard.SubscribeAsync(yard.ManagerId, "backtracker.commission.at-risk.v1");
        var others = await yard.SubscribeAsync(yard.ManagerId, "backtracker.check.opened.v1");
        await OrderAsync(yard, await yard.PersonAsync("Tamsin Rowe", "saddler"));

        await yard.LiveAsync(TimeSpan.FromDays(1));

        Assert.Single(await yard.LettersAsync(chosen));
        Assert.Equal("not-told: their subscription leaves out backtracker.commission.at-risk.v1", (await yard.DecisionsAsync(await yard.AlertAsync("commission-risk"), others)).Last());
    }

    /// <summary>A saddle far too narrow for Bramble; returns its address and the order by the width of the tree.</summary>
    private static async Task<(string Path, Func<double, object> Order)> OrderAsync(AlertYard yard, string saddlerId)
    {
        var saddleId = await yard.Admin.MakeAsync("/v1/saddles", new { yardId = yard.YardId, label = "New hill saddle", tree = "rigid", filling = "wool" });
        object Order(double width150Mm) => new
        {
            horseId = yard.HorseId,
            saddleId,
            saddlerId,
            orderedOn = yard.Day(0),
            deliveryOn = yard.Day(30),
            orderedTree = new { stations = new[] { new { station = "T13", width150Mm } }, panel = new { thicknessMm = 25 } },
        };
        var id = await yard.Admin.MakeAsync("/v1/commissions", Order(280));
        await yard.AssessAsync();
        return ($"/v1/commissions/{id}", Order);
    }

    private static string Text(System.Text.Json.Nodes.JsonNode node, string name) => node[name]!.GetValue<string>();
}
