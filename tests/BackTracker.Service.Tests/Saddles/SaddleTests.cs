using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Saddles;

public sealed class SaddleTests
{
    private static readonly object Sides = new { channelHalfMm = 40, bearingMm = 90, innerDepthMm = 10, angleDeg = 35 };

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Register_thenChange_keepsWhatWasSaid(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await Yardful.SettleAsync(service);
        var made = (await service.Admin.PostAsync("/v1/saddles", new { yardId = yard.YardId, label = "Trail saddle", tree = "rigid", filling = "wool", madeOn = "2024-03-01" })).Should(HttpStatusCode.Created);
        var path = made.Headers.Location!.ToString();

        (await service.Admin.PutAsync(path, new { yardId = yard.YardId, label = "Old trail saddle", tree = "rigid", filling = "wool" }, ("If-Match", made.Etag))).Should(HttpStatusCode.OK);

        var now = await service.Admin.GetAsync(path);
        Assert.Equal(("Old trail saddle", null), (now["label"]!.GetValue<string>(), now["madeOn"]));
        Assert.Equal(2, (await service.Admin.GetAsync($"/v1/saddles?yardId={yard.YardId}")).Items.Count);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task TreeShape_byWidthsOrBySides_isKeptAndCanBeVoided(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await Yardful.SettleAsync(service);
        var path = $"/v1/saddles/{yard.SaddleId}/tree-shapes";

        var widths = (await service.Admin.PostAsync(path, new { from = "2026-11-20", stations = new[] { new { station = "T8", width30Mm = 120, width150Mm = 290 } } })).Should(HttpStatusCode.Created);
        (await service.Admin.PostAsync(path, new
        {
            from = "2026-11-21",
            bearingLengthMm = 430,
            panel = new { thicknessMm = 25 },
            stations = new object[] { new { fromFrontMm = 0, channelHeightMm = 70, left = Sides, right = Sides }, new { fromFrontMm = 430, channelHeightMm = 60, left = Sides, right = Sides } },
        })).Should(HttpStatusCode.Created);

        var voided = (await service.Admin.PostAsync($"/v1/tree-shapes/{widths["id"]}/void", new { reason = "Read on the wrong saddle." }, ("If-Match", widths.Etag))).Should(HttpStatusCode.OK);
        Assert.NotNull(voided["voidedAt"]);
        (await service.Admin.PostAsync($"/v1/tree-shapes/{widths["id"]}/void", new { reason = "Again." }, ("If-Match", voided.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        Assert.Equal(3, (await service.Admin.GetAsync(path)).Items.Count);
    }

    [Theory]
    [InlineData("""{"from":"2026-11-20","stations":[{"station":"T13","width150Mm":31}]}""", "/stations/0/width150Mm")]
    [InlineData("""{"from":"2026-11-20","stations":[{"station":"T4","width150Mm":310}]}""", "/stations/0/station")]
    [InlineData("""{"from":"2026-11-20","stations":[{"station":"T13"}]}""", "/stations/0/width150Mm")]
    [InlineData("""{"from":"2026-11-20","stations":[{"station":"T13","width150Mm":310},{"station":"T13","width150Mm":311}]}""", "/stations/1/station")]
    [InlineData("""{"from":"2026-11-20","stations":[{"station":"T13","width150Mm":310,"fromFrontMm":10}]}""", "/stations/0/fromFrontMm")]
    [InlineData("""{"from":"2026-11-20","stations":[{"fromFrontMm":0,"channelHeightMm":60}]}""", "/stations/0/left")]
    [InlineData("""{"from":"2026-11-26","stations":[{"station":"T13","width150Mm":310}]}""", "/from")]
    [InlineData("""{"from":"2026-11-20","stations":[]}""", "/stations")]
    [InlineData("""{"stations":[{"station":"T13","width150Mm":310}]}""", "/from")]
    public async Task TreeShape_thatCannotBe_isRefusedAtTheMember(string body, string pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var path = $"/v1/saddles/{yard.SaddleId}/tree-shapes";

        var refused = (await service.Admin.SendAsync(HttpMethod.Post, path, body)).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");

        Assert.NotNull(refused["errors"]![pointer]);
        Assert.Single((await service.Admin.GetAsync(path)).Items);
    }

    [Fact]
    public async Task TreeShape_ofASaddleWithoutATree_isAConflict()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var treeless = await service.Admin.MakeAsync("/v1/saddles", new { yardId = yard.YardId, label = "Pad saddle", tree = "treeless", filling = "felt" });

        (await service.Admin.PostAsync($"/v1/saddles/{treeless}/tree-shapes", new { from = "2026-11-20", stations = new[] { new { station = "T13", width150Mm = 310 } } })).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
    }

    [Theory]
    [InlineData("""{"doneOn":"2026-11-26","doneBy":"FITTER","kind":"repair"}""", "/doneOn")]
    [InlineData("""{"doneOn":"2026-11-25","kind":"repair"}""", "/doneBy")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69","kind":"repair"}""", "/doneBy")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"FITTER","kind":"flocking"}""", "/zones")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"FITTER","kind":"flocking","zones":[{"side":"left","zone":"rear","mm":80}]}""", "/zones/0/mm")]
    [InlineData("""{"doneOn":"2026-11-25","doneBy":"FITTER","kind":"flocking","zones":[{"side":"left","zone":"rear","mm":2},{"side":"left","zone":"rear","mm":3}]}""", "/zones/1")]
    public async Task Adjustment_thatCannotBe_isRefusedAtTheMember(string body, string pointer)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var path = $"/v1/saddles/{yard.SaddleId}/adjustments";

        var refused = (await service.Admin.SendAsync(HttpMethod.Post, path, body.Replace("FITTER", yard.FitterId, StringComparison.Ordinal))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");

        Assert.NotNull(refused["errors"]![pointer]);
        Assert.Empty((await service.Admin.GetAsync(path)).Items);
    }

    // Asymmetric flocking only after the vet: the vet-first list of the trade, common practice, no source.
    [Fact]
    public async Task Adjustment_unequalLeftAndRight_waitsForTheVet()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "lameness", note = "Left hind." });
        object Flocking(double right) => new { doneOn = "2026-11-25", doneBy = yard.FitterId, kind = "flocking", zones = new[] { new { side = "left", zone = "rear", mm = 2.0 }, new { side = "right", zone = "rear", mm = right } } };

        (await service.Admin.PostAsync($"/v1/saddles/{yard.SaddleId}/adjustments", Flocking(4))).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
        (await service.Admin.PostAsync($"/v1/saddles/{yard.SaddleId}/adjustments", Flocking(2))).Should(HttpStatusCode.Created);
    }

    [Fact]
    public async Task Adjustment_onASaddle_reassessesEveryHorseItIsPairedWith()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var other = await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Tansy" });
        await service.Admin.MakeAsync("/v1/pairings", new { horseId = other, saddleId = yard.SaddleId, from = "2026-11-25" });
        await service.SettledAsync();
        var before = (await AssessmentsAsync(service, yard.HorseId), await AssessmentsAsync(service, other));

        await service.Admin.MakeAsync($"/v1/saddles/{yard.SaddleId}/adjustments", new { doneOn = "2026-11-25", doneBy = yard.FitterId, kind = "repair" });
        await service.SettledAsync();

        Assert.Equal((before.Item1 + 1, before.Item2 + 1), (await AssessmentsAsync(service, yard.HorseId), await AssessmentsAsync(service, other)));
    }

    private static async Task<int> AssessmentsAsync(RunningService service, string horseId) =>
        (await service.Admin.GetAsync($"/v1/horses/{horseId}/assessments?limit=500")).Items.Count;
}
