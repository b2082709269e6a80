using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Visits;

/// <summary>Planning and reporting a visit on its pages, as a browser sends their forms.</summary>
public sealed partial class VisitPageTests
{
    [Fact]
    public async Task Plan_isFilledInWithWhatGoesTogether_andLeadsToTheVisit()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        using var pages = await PageClient.SignedInAsync(service);
        var list = $"/yards/{world.Yard.YardId}/checks";

        var page = (await pages.GetAsync(list)).Should(HttpStatusCode.OK).Text;
        Assert.Contains("3 checks can be done together", page, StringComparison.Ordinal);
        Assert.Equal(3, Ticked().Count(page));
        var planned = (await pages.FillAsync(list, $"{list}/visit", [.. Form(world), ("/checkIds/0", world.Checks[0]), ("/checkIds/2", world.Checks[2])])).Should(HttpStatusCode.Found);

        var visit = planned.Headers.Location!.OriginalString;
        Assert.Contains("Morwen Hale comes on 26 November 2026.", (await pages.GetAsync(visit)).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
        Assert.Equal(["booked", "open", "booked"], new[] { (await world.StandingAsync(0)).State, (await world.StandingAsync(1)).State, (await world.StandingAsync(2)).State });
        Assert.Contains(visit, (await pages.GetAsync(list)).Text, StringComparison.Ordinal);
        Assert.Contains("Visit to Larkfield", (await pages.GetAsync($"{visit}/sheet")).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Plan_withACheckThatSomebodyElseBooked_pointsAtIt_andKeepsTheRest()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        using var pages = await PageClient.SignedInAsync(service);
        await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[2]);
        var list = $"/yards/{world.Yard.YardId}/checks";

        var refused = (await pages.FillAsync(list, $"{list}/visit", [.. Form(world), ("/checkIds/1", world.Checks[1]), ("/checkIds/5", world.Checks[2]), ("/note", "Ring first.")])).Should(HttpStatusCode.UnprocessableContent).Text;

        Assert.Contains("<a href=\"#visit-checkIds-5\">It is booked for 26 November 2026.", refused, StringComparison.Ordinal);
        Assert.Contains("value=\"Ring first.\"", refused, StringComparison.Ordinal);
        Assert.Equal(1, Ticked().Count(refused));
        Assert.Equal("open", (await world.StandingAsync(1)).State);
    }

    [Fact]
    public async Task Report_ofAnOrdinaryVisit_takesNothingButTheButton_andEachCheckItsOwnWords()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        using var pages = await PageClient.SignedInAsync(service);
        var path = await world.PlanAsync(VisitingYard.Today, [.. world.Checks]);
        var page = path["/v1".Length..];
        var etag = (await world.Admin.GetAsync(path)).Etag;
        (string, string)[] report =
        [
            ("version", etag), ("once", "0199f6c2-0000-7000-8000-0000000000aa"), ("/on", VisitingYard.Today), ("/by", world.Yard.FitterId),
            .. world.Checks.Select((check, i) => ($"/checks/{i}/checkId", check)),
            ("/checks/0/adjustments/0/kind", "flocking"), ("=/checks/0/adjustments/0/zones/2/side", "left"), ("=/checks/0/adjustments/0/zones/2/zone", "middle"),
        ];

        var refused = (await pages.FillAsync(page, $"{page}/complete", [.. report, ("/checks/0/adjustments/0/zones/2/mm", "80"), ("/checks/1/notDone", "Out on a hack.")])).Should(HttpStatusCode.UnprocessableContent).Text;
        Assert.Contains("id=\"complete-checks-0-adjustments-0-zones-2-mm-error\"", refused, StringComparison.Ordinal);
        Assert.Contains("value=\"Out on a hack.\"", refused, StringComparison.Ordinal);
        (await pages.FillAsync(page, $"{page}/complete", [.. report, ("/checks/0/adjustments/0/zones/2/mm", "3"), ("/checks/1/notDone", "Out on a hack."), ("/checks/2/findings/0/text", "Rubs behind.")])).Should(HttpStatusCode.Found);

        Assert.Equal(["done", "open", "done"], new[] { (await world.StandingAsync(0)).State, (await world.StandingAsync(1)).State, (await world.StandingAsync(2)).State });
        Assert.Equal("Rubs behind.", VisitingYard.Text((await world.CheckAsync(2))["findings"]![0]!["text"]));
        Assert.Equal("flocking", VisitingYard.Text(Assert.Single((await world.Admin.GetAsync($"/v1/saddles/{world.Yard.SaddleId}/adjustments")).Items)!["kind"]));
        Assert.Contains("Morwen Hale: done on 25 November 2026.", (await pages.GetAsync(page)).Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task HorseThatNeedsAVetFirst_isSaidOnThePage_andOnlyWhyNotIsAsked()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        using var pages = await PageClient.SignedInAsync(service);
        var path = await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[0], world.Checks[1]);
        await world.Admin.MakeAsync($"/v1/horses/{world.Horses[0]}/observations", new { observedOn = VisitingYard.Today, kind = "heat" });
        await service.SettledAsync();

        var page = (await pages.GetAsync(path["/v1".Length..])).Should(HttpStatusCode.OK).Text;

        Assert.Contains("Stop, vet first: heat, seen 25 November 2026", page, StringComparison.Ordinal);
        Assert.DoesNotContain("name=\"/checks/0/adjustments/0/kind\"", page, StringComparison.Ordinal);
        Assert.Contains("name=\"/checks/1/adjustments/0/kind\"", page, StringComparison.Ordinal);
    }

    private static (string, string)[] Form(VisitingYard world) =>
        [("once", "0199f6c2-0000-7000-8000-0000000000ab"), ("/on", VisitingYard.Tomorrow), ("/fitterId", world.Yard.FitterId)];

    [GeneratedRegex("type=\"checkbox\"[^>]* checked")]
    private static partial Regex Ticked();
}
