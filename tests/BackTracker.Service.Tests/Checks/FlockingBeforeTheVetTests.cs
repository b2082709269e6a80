using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Checks;

public sealed class FlockingBeforeTheVetTests
{
    [Fact]
    public async Task BridgingOutUnderAnOpenVetFirstSign_proposesNoUnequalFlocking()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "swelling", station = "T13", note = "Left of the spine." });
        await yard.MeasureOftenAsync(4, _ => new() { HollowMm = 8 });
        await service.SettledAsync();

        var open = (await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}&state=open")).Items;
        var texts = open.SelectMany(check => check!["reasons"]!.AsArray()).Select(reason => reason!["text"]!.GetValue<string>()).ToList();

        Assert.Equal("out", TracedYard.Finding(await yard.FitAsync(), "bridging@left")["severity"]!.GetValue<string>());
        Assert.Equal(["fit", "vet"], open.Select(check => check!["kind"]!.GetValue<string>()).Order());
        Assert.Contains(texts, text => text.Contains("A vet looks first: no flocking is made unequal before.", StringComparison.Ordinal));
        Assert.DoesNotContain(texts, text => text.Contains("Flocking can take it up", StringComparison.Ordinal));
    }

    [Fact]
    public async Task VetFirstSignAfterAFlockingCheckWasOpened_leavesOneCheckThatWaitsForTheVet()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { HollowMm = 8 });
        await service.SettledAsync();
        var checks = $"/v1/checks?horseId={yard.HorseId}&state=open";
        Assert.Equal(["flocking"], (await service.Admin.GetAsync(checks)).Items.Select(check => check!["kind"]!.GetValue<string>()));

        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = yard.TodayText, kind = "swelling", station = "T13", note = "Left of the spine." });
        await service.SettledAsync();

        var open = (await service.Admin.GetAsync(checks)).Items;
        var texts = open.SelectMany(check => check!["reasons"]!.AsArray()).Select(reason => reason!["text"]!.GetValue<string>()).ToList();
        Assert.Equal(["fit", "vet"], open.Select(check => check!["kind"]!.GetValue<string>()).Order());
        Assert.Contains(texts, text => text.Contains("A vet looks first: no flocking is made unequal before.", StringComparison.Ordinal));
        Assert.DoesNotContain(texts, text => text.Contains("Flocking can take it up", StringComparison.Ordinal));
    }
}
