using System.Net;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Policies;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Policies;

public sealed class PolicyTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Policy_setAtEveryLevel_isInForceFromTheNarrowestAndFallsBack(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, settings: new Settings { Policy = new CheckPolicy { LayOffDays = 30, RiskLimit = .25, WindowDays = 21 } });
        var yard = await Yardful.SettleAsync(service);
        var (ofYard, ofPairing) = ($"/v1/yards/{yard.YardId}/policy", $"/v1/pairings/{yard.PairingId}/policy");

        await PutAsync(service, ofYard, new { riskLimit = .3, growingFitWeeks = 10 });
        await PutAsync(service, ofPairing, """{"riskLimit":0.35,"windowDays":null}""");

        var policy = await service.Admin.GetAsync(ofPairing);
        Assert.Equal((.35, "pairing"), Of(policy, "riskLimit"));
        Assert.Equal((10, "yard"), Of(policy, "growingFitWeeks"));
        Assert.Equal((30, "service"), Of(policy, "layOffDays"));
        Assert.Equal((21, "service"), Of(policy, "windowDays"));
        Assert.Equal((.5, "default"), Of(policy, "riskClosing"));
        Assert.Equal((.3, "yard"), Of(await service.Admin.GetAsync(ofYard), "riskLimit"));
        Assert.All(policy["settings"]!.AsArray(), setting => Assert.All(new[] { "unit", "text", "source" }, member => Assert.NotEmpty(setting![member]!.GetValue<string>())));
        Assert.Equal(PolicySettings.All.Select(setting => setting.Name), policy["settings"]!.AsArray().Select(setting => setting!["name"]!.GetValue<string>()));

        await PutAsync(service, ofPairing, new { });
        Assert.Equal((.3, "yard"), Of(await service.Admin.GetAsync(ofPairing), "riskLimit"));
        await PutAsync(service, ofYard, new { });
        Assert.Equal((.25, "service"), Of(await service.Admin.GetAsync(ofPairing), "riskLimit"));
    }

    [Fact]
    public async Task Policy_changedAtAWiderLevel_isAnotherVersionOfTheNarrower()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var (ofYard, ofPairing) = ($"/v1/yards/{yard.YardId}/policy", $"/v1/pairings/{yard.PairingId}/policy");
        var read = await service.Admin.GetAsync(ofPairing);
        Assert.Equal(HttpStatusCode.NotModified, (await service.Admin.GetAsync(ofPairing, ("If-None-Match", read.Etag))).Status);

        var changed = await PutAsync(service, ofYard, new { layOffDays = 35 });

        Assert.Equal(changed.Text, (await service.Admin.GetAsync(ofYard, ("If-None-Match", read.Etag))).Text);
        Assert.Equal(changed.Etag, (await service.Admin.GetAsync(ofYard)).Etag);
        (await service.Admin.GetAsync(ofPairing, ("If-None-Match", read.Etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PutAsync(ofPairing, new { riskLimit = .3 }, ("If-Match", read.Etag))).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
        (await service.Admin.PutAsync(ofPairing, new { riskLimit = .3 })).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
    }

    [Theory]
    [InlineData("yards", """{"riskLimt":0.3}""", 400, "unknown-member", "/riskLimt")]
    [InlineData("yards", """{"riskLimit":"much"}""", 400, "malformed", "/riskLimit")]
    [InlineData("yards", """{"riskLimit":0.3,"riskLimit":0.4}""", 400, "malformed", "/riskLimit")]
    [InlineData("yards", "[]", 400, "malformed", null)]
    [InlineData("yards", """{"riskLimit":0.95}""", 422, "impossible", "/riskLimit")]
    [InlineData("yards", """{"layOffDays":28.5}""", 422, "impossible", "/layOffDays")]
    [InlineData("yards", """{"layOffDays":1}""", 422, "impossible", "/layOffDays")]
    [InlineData("yards", """{"vetFirstBehaviourScore":20}""", 422, "impossible", "/vetFirstBehaviourScore")]
    [InlineData("yards", """{"riskLimit":0.6}""", 422, "impossible", "/riskLimit")]
    [InlineData("yards", """{"riskClosing":0.1}""", 422, "impossible", "/riskClosing")]
    [InlineData("pairings", """{"moveDays":1}""", 422, "impossible", "/moveDays")]
    [InlineData("pairings", """{"layOffDays":30}""", 422, "impossible", "/layOffDays")]
    [InlineData("pairings", """{"riskLimit":0.6}""", 422, "impossible", "/riskLimit")]
    public async Task Put_whatCannotBe_saysWhereAndKeepsNothing(string level, string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var path = $"/v1/{level}/{(level == "yards" ? yard.YardId : yard.PairingId)}/policy";
        var before = await service.Admin.GetAsync(path);

        (await service.Admin.PutAsync(path, body, ("If-Match", before.Etag))).ShouldPoint(status, kind, pointer);

        Assert.Equal(before.Text, (await service.Admin.GetAsync(path)).Text);
    }

    [Fact]
    public async Task Put_ofAYardThatDoesNotGoWithAPairing_namesThePairing()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var (ofYard, ofPairing) = ($"/v1/yards/{yard.YardId}/policy", $"/v1/pairings/{yard.PairingId}/policy");
        await PutAsync(service, ofYard, new { riskClosing = .8 });
        await PutAsync(service, ofPairing, new { riskLimit = .6 });

        var refused = await service.Admin.PutAsync(ofYard, new { }, ("If-Match", "*"));

        refused.ShouldPoint(422, "impossible", "/riskClosing");
        Assert.Contains(yard.PairingId, refused["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Equal((.8, "yard"), Of(await service.Admin.GetAsync(ofYard), "riskClosing"));
    }

    [Fact]
    public async Task Put_asksForTheHorses_andTheAssessmentHoldsEveryLevel()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(308);
        await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
        Assert.Empty(await service.WaitingAsync());

        await PutAsync(service, $"/v1/yards/{yard.YardId}/policy", new { steadyMeasureDays = 14 });
        Assert.Equal([yard.HorseId], (await service.WaitingAsync()).Select(horse => horse.HorseId));
        await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
        await PutAsync(service, $"/v1/pairings/{yard.PairingId}/policy", new { watchedFitWeeks = 4 });
        Assert.Equal([yard.HorseId], (await service.WaitingAsync()).Select(horse => horse.HorseId));
        await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);

        var stored = (await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/assessments")).Items.MaxBy(item => item!["id"]!.GetValue<string>())!;
        var inputs = stored["inputs"]!;
        Assert.Equal("""{"steadyMeasureDays":14}""", inputs["yardPolicy"]!.ToJsonString());
        Assert.Equal("""{"watchedFitWeeks":4}""", inputs["pairingPolicies"]![yard.PairingId]!.ToJsonString());
        Assert.Equal((42, 26), (inputs["policy"]!["steadyMeasureDays"]!.GetValue<int>(), inputs["policy"]!["watchedFitWeeks"]!.GetValue<int>()));
        var wanted = stored["outputs"]!["wanted"]!.AsArray();
        Assert.Equal("2026-12-09", wanted.Single(w => w!["kind"]!.GetValue<string>() == "remeasure")!["days"]!["dueOn"]!.GetValue<string>());
        Assert.Equal("2026-12-23", wanted.Single(w => w!["kind"]!.GetValue<string>() == "fit")!["days"]!["dueOn"]!.GetValue<string>());
    }

    [Fact]
    public async Task Fit_andWhatIf_goByThePairingsSettings_andTheFormOfAPhaseByTheYards()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var pairing = $"/v1/pairings/{yard.PairingId}";
        var change = (await service.Admin.GetAsync(pairing)).Body.AsObject();
        (await service.Admin.PutAsync(pairing, new { horseId = yard.HorseId, saddleId = yard.SaddleId, from = change["from"]!.GetValue<string>(), riderWeightKg = 70, tackWeightKg = 10 }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/measurements", new { measuredAt = service.Clock.GetUtcNow(), measuredBy = yard.ManagerId, method = "tape", exercise = "before", weightKg = 500 });
        Assert.Contains("above 15 %", await LoadAsync(), StringComparison.Ordinal);

        await PutAsync(service, pairing + "/policy", new { loadNotedFrom = .17 });
        await PutAsync(service, $"/v1/yards/{yard.YardId}/policy", new { steadyMeasureDays = 35 });

        Assert.EndsWith("of the horse's weight.", await LoadAsync(), StringComparison.Ordinal);
        var supposed = await service.Admin.PostAsync(pairing + "/what-if", new { padMm = 5 });
        Assert.EndsWith("of the horse's weight.", supposed["fit"]!["load"]!["text"]!.GetValue<string>(), StringComparison.Ordinal);
        using var pages = await PageClient.SignedInAsync(service);
        Assert.Contains("Measured every 5 weeks", (await pages.GetAsync($"/horses/{yard.HorseId}/phases")).Text, StringComparison.Ordinal);

        async Task<string> LoadAsync() => (await service.Admin.GetAsync(pairing + "/fit"))["load"]!["text"]!.GetValue<string>();
    }

    // The operator may have changed the service's own since.
    [Fact]
    public void Check_levelThatHasNeitherOfTwoCrossedSettings_isNotToBlame()
    {
        var crossed = new CheckPolicy { RiskLimit = .6 };
        Assert.Equal(4, PolicyRules.Check(new(new Dictionary<string, double> { ["watchedFitWeeks"] = 4 }), PolicyLevel.Pairing, crossed).ByName["watchedFitWeeks"]);
        var refused = Assert.Throws<ProblemException>(() => PolicyRules.Check(new(new Dictionary<string, double> { ["riskClosing"] = .4 }), PolicyLevel.Pairing, crossed));
        Assert.Equal(["/riskClosing"], refused.Errors.Keys);
    }

    private static async Task<Reply> PutAsync(RunningService service, string path, object body) =>
        (await service.Admin.PutAsync(path, body, ("If-Match", (await service.Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);

    private static (double Value, string From) Of(Reply policy, string name)
    {
        var setting = policy["settings"]!.AsArray().Single(s => s!["name"]!.GetValue<string>() == name)!;
        return (setting["value"]!.GetValue<double>(), setting["from"]!.GetValue<string>());
    }
}
