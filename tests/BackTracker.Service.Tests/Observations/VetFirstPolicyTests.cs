using System.Net;
using BackTracker.Engine.Checks;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Observations;

public sealed class VetFirstPolicyTests
{
    [Fact]
    public async Task Sign_vetFirstByTheOperatorsPolicy_isSoForTheApiAndTheAssessmentAlike()
    {
        await using var service = await RunningService.StartAsync(settings: new Settings { Policy = new CheckPolicy { VetFirstBehaviourScore = 5 } });
        var yard = await Yardful.SettleAsync(service);
        var sign = (await service.Admin.PostAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "ridden-behaviour-score", score = 6, note = "Tail swishing." })).Should(HttpStatusCode.Created);
        await service.SettledAsync();
        var open = (await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}&state=open")).Items;

        Assert.True(sign["vetFirst"]!.GetValue<bool>());
        Assert.Contains(open, check => check!["kind"]!.GetValue<string>() == "vet");
        (await service.Admin.PostAsync($"/v1/observations/{sign["id"]}/outcome", new { on = "2026-11-25", by = yard.FitterId, role = "fitter", outcome = "cleared", note = "Fine." })).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        var fit = open.Single(check => check!["kind"]!.GetValue<string>() == "fit")!;
        (await service.Admin.PostAsync($"/v1/checks/{fit["id"]}/book", new { on = "2026-11-26", fitterId = yard.FitterId }, ("If-Match", "*"))).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
    }
}
