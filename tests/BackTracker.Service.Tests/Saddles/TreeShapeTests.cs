using System.Net;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Saddles;

namespace BackTracker.Service.Tests.Saddles;

public sealed class TreeShapeTests
{
    private const string Flat = """{"channelHalfMm":35,"bearingMm":110,"innerDepthMm":10,"angleDeg":38}""";
    private const string Curved = """{"channelHalfMm":35,"bearingMm":110,"innerDepthMm":10,"surface":[[0,0],[50,30.5],[110,80]]}""";
    private static readonly string BySides = Sides(60, Flat);

    private static string Sides(double fromFront, string left, string right = Flat) =>
        $$"""{"fromFrontMm":{{fromFront}},"channelHeightMm":60,"left":{{left}},"right":{{right}}}""";

    private static string Shape(string stations, string more = "") => $$"""{"from":"2026-11-25","stations":[{{stations}}]{{more}}}""";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Record_eachForm_thenGetListAndVoid_keepsEverything(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var path = $"/v1/saddles/{await service.SaddleAsync(await service.YardAsync())}/tree-shapes";

        var widths = (await service.Admin.PostTextAsync(path, Shape("""{"station":"T8","width150Mm":300},{"station":"T13","width30Mm":110,"width150Mm":320.5}"""))).Should(HttpStatusCode.Created);
        var sides = (await service.Admin.PostTextAsync(path, Shape($"{BySides},{Sides(200, Curved)}", ""","bearingLengthMm":420,"panel":{"thicknessMm":25},"note":"bare tree" """))).Should(HttpStatusCode.Created);

        Assert.Equal(widths.Text, (await service.Admin.GetAsync(widths.Headers.Location!.ToString())).Text);
        Assert.Equal(80, sides["shape"]!["stations"]![1]!["left"]!["surface"]![2]![1]!.GetValue<double>());
        Assert.Equal(2, (await service.Admin.GetAsync(path)).Items.Count);

        var voided = (await service.Admin.PostAsync($"{widths.Headers.Location}/void", new { reason = "read off the wrong tree" }, ("If-Match", widths.Etag))).Should(HttpStatusCode.OK);
        Assert.Equal("read off the wrong tree", voided["voidReason"]!.GetValue<string>());
        (await service.Admin.PostAsync($"{widths.Headers.Location}/void", new { reason = "again" }, ("If-Match", voided.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        Assert.Equal(2, (await service.Admin.GetAsync(path)).Items.Count);
    }

    [Fact]
    public async Task Answer_ofAShape_holdsWhatWasSentAndNothingElse()
    {
        await using var service = await RunningService.StartAsync();
        var path = $"/v1/saddles/{await service.SaddleAsync(await service.YardAsync())}/tree-shapes";

        var made = (await service.Admin.PostTextAsync(path, Shape("""{"station":"T13","width150Mm":320}"""))).Should(HttpStatusCode.Created);

        Assert.Equal(
            ["station", "width30Mm", "width150Mm", "fromFrontMm", "channelHeightMm", "left", "right"],
            made["shape"]!["stations"]![0]!.AsObject().Select(member => member.Key));
        (await service.Admin.PostTextAsync(path, Shape("""{"station":"T13","width150Mm":320,"byWidths":false}"""))).ShouldBeProblem(HttpStatusCode.BadRequest, "unknown-member");
    }

    public static TheoryData<string, int, string, string?> Bad => new()
    {
        { Shape(""), 422, "impossible", "/stations" },
        { Shape("{}"), 422, "impossible", "/stations/0/left" },
        { Shape("null"), 422, "impossible", "/stations/0" },
        { Shape("""{"station":"T4","width150Mm":320}"""), 422, "impossible", "/stations/0/station" },
        { Shape("""{"station":"T13","width30Mm":110}"""), 422, "impossible", "/stations/0/width150Mm" },
        { Shape("""{"width150Mm":320}"""), 422, "impossible", "/stations/0/station" },
        { Shape("""{"station":"T13","width150Mm":32}"""), 422, "impossible", "/stations/0/width150Mm" },
        { Shape("""{"station":"T13","width150Mm":3200}"""), 422, "impossible", "/stations/0/width150Mm" },
        { Shape("""{"station":"T13","width150Mm":149}"""), 422, "impossible", "/stations/0/width150Mm" },
        { Shape("""{"station":"T13","width150Mm":601}"""), 422, "impossible", "/stations/0/width150Mm" },
        { Shape("""{"station":"T13","width30Mm":1100,"width150Mm":320}"""), 422, "impossible", "/stations/0/width30Mm" },
        { Shape("""{"station":"T13","width150Mm":320,"fromFrontMm":10}"""), 422, "impossible", "/stations/0/fromFrontMm" },
        { Shape("""{"station":"T13","width150Mm":320},{"station":"T13","width150Mm":310}"""), 422, "impossible", "/stations/1/station" },
        { Shape(BySides), 422, "impossible", "/bearingLengthMm" },
        { Shape($"{BySides},{BySides}", ""","bearingLengthMm":420"""), 422, "impossible", "/stations/1/fromFrontMm" },
        { Shape($$"""{{Sides(200, Flat)}},{"station":"T13","width150Mm":320},{{BySides}}""", ""","bearingLengthMm":420"""), 422, "impossible", "/stations/2/fromFrontMm" },
        { Shape($"{BySides},{Sides(430, Flat)}", ""","bearingLengthMm":420"""), 422, "impossible", "/bearingLengthMm" },
        { Shape(Sides(0, Flat.Replace("110", "0", StringComparison.Ordinal)), ""","bearingLengthMm":420"""), 422, "impossible", "/stations/0/left/bearingMm" },
        { Shape(Sides(0, Flat.Replace("35", "-1", StringComparison.Ordinal)), ""","bearingLengthMm":420"""), 422, "impossible", "/stations/0/left/channelHalfMm" },
        { Shape(Sides(0, Flat.Replace("38", "81", StringComparison.Ordinal)), ""","bearingLengthMm":420"""), 422, "impossible", "/stations/0/left/angleDeg" },
        { Shape(Sides(0, Flat.Replace("38", "-1", StringComparison.Ordinal)), ""","bearingLengthMm":420"""), 422, "impossible", "/stations/0/left/angleDeg" },
        { Shape(Sides(0, Curved, """{"channelHalfMm":35,"bearingMm":110,"innerDepthMm":10}"""), ""","bearingLengthMm":420"""), 422, "impossible", "/stations/0/right/surface" },
        { Shape(Sides(0, Curved.Replace("[50,", "[120,", StringComparison.Ordinal)), ""","bearingLengthMm":420"""), 422, "impossible", "/stations/0/left/surface/2" },
        { Shape(Sides(0, Curved.Replace("[0,0]", "[0]", StringComparison.Ordinal)), ""","bearingLengthMm":420"""), 422, "impossible", "/stations/0/left/surface/0" },
        { Shape("""{"station":"T13","width150Mm":320}""", ""","panel":{}"""), 422, "impossible", "/panel/thicknessMm" },
        { """{"stations":[{"station":"T13","width150Mm":320}]}""", 422, "impossible", "/from" },
        { """{"from":"2026-11-26","stations":[{"station":"T13","width150Mm":320}]}""", 422, "impossible", "/from" },
        { Shape("""{"station":"T13","width150mm":320}"""), 400, "unknown-member", "/stations/0/width150mm" },
    };

    [Theory, MemberData(nameof(Bad))]
    public async Task Record_badInput_saysWhereAndKeepsNothing(string body, int status, string kind, string? pointer)
    {
        await using var service = await RunningService.StartAsync();
        var path = $"/v1/saddles/{await service.SaddleAsync(await service.YardAsync())}/tree-shapes";

        var reply = await service.Admin.PostTextAsync(path, body);

        reply.ShouldPoint(status, kind, pointer);
        Assert.Empty((await service.Admin.GetAsync(path)).Items);
    }

    [Fact]
    public async Task Record_widthInCentimetres_isToldTheMillimetres()
    {
        await using var service = await RunningService.StartAsync();
        var path = $"/v1/saddles/{await service.SaddleAsync(await service.YardAsync())}/tree-shapes";

        var reply = await service.Admin.PostTextAsync(path, Shape("""{"station":"T13","width150Mm":32}"""));

        Assert.Contains("320 mm", reply["detail"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Record_onATreelessSaddle_isRefused()
    {
        await using var service = await RunningService.StartAsync();
        var path = $"/v1/saddles/{await service.SaddleAsync(await service.YardAsync(), "treeless")}/tree-shapes";

        (await service.Admin.PostTextAsync(path, Shape("""{"station":"T13","width150Mm":320}"""))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");

        Assert.Empty((await service.Admin.GetAsync(path)).Items);
    }

    [Fact]
    public async Task Record_needsTheScopeFitAndTheYard_andVoidNeedsIfMatch()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await service.YardAsync(), await service.YardAsync("Down the valley"));
        var path = $"/v1/saddles/{await service.SaddleAsync(yard)}/tree-shapes";
        var body = Shape("""{"station":"T13","width150Mm":320}""");

        (await (await service.ClientAsync("manage", yard)).PostTextAsync(path, body)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        var made = (await (await service.ClientAsync("fit", yard)).PostTextAsync(path, body)).Should(HttpStatusCode.Created);
        var stranger = await service.ClientAsync("fit", other);

        (await stranger.GetAsync(made.Headers.Location!.ToString())).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await stranger.PostAsync($"{made.Headers.Location}/void", new { reason = "x" }, ("If-Match", made.Etag))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await service.Admin.PostAsync($"{made.Headers.Location}/void", new { reason = "x" })).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
        Assert.Equal(made.Text, (await service.Admin.GetAsync(made.Headers.Location!.ToString())).Text);
    }

    [Fact]
    public async Task RecordAndVoid_askForEveryHorseOfTheSaddle()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await service.YardAsync();
        var saddle = await service.SaddleAsync(yard);
        var horses = new[] { await service.HorseAsync(yard), await service.HorseAsync(yard, "Thistle") };
        foreach (var horse in horses)
            await service.PairAsync(horse, saddle);
        var before = await service.WaitingAsync();

        var made = await service.Admin.PostTextAsync($"/v1/saddles/{saddle}/tree-shapes", Shape("""{"station":"T13","width150Mm":320}"""));
        await service.Admin.PostAsync($"{made.Headers.Location}/void", new { reason = "x" }, ("If-Match", made.Etag));

        var after = await service.WaitingAsync();
        Assert.Equal(horses.Order(), after.Select(h => h.HorseId).Order());
        foreach (var horse in horses)
            Assert.Equal(before.Single(h => h.HorseId == horse).Generation + 2, after.Single(h => h.HorseId == horse).Generation);
    }

    [Fact]
    public async Task Facts_areTheLiveShapes_withoutWidthsWhereGivenBySides()
    {
        await using var service = await RunningService.StartAsync();
        var saddle = await service.SaddleAsync(await service.YardAsync());
        var path = $"/v1/saddles/{saddle}/tree-shapes";
        await service.Admin.PostTextAsync(path, Shape("""{"station":"T13","width150Mm":320}"""));
        await service.Admin.PostTextAsync(path, Shape(BySides, ""","bearingLengthMm":420"""));
        var wrong = await service.Admin.PostTextAsync(path, Shape("""{"station":"T8","width150Mm":400}"""));
        await service.Admin.PostAsync($"{wrong.Headers.Location}/void", new { reason = "x" }, ("If-Match", wrong.Etag));

        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        IReadOnlyList<TreeShapeFact> facts = [.. (await SaddleStore.TreeShapesAsync(session, [saddle])).Select(SaddleFacts.ToFact)];

        Assert.Equal(2, facts.Count);
        Assert.Equal(("T13", 320.0), facts[0].Widths.Select(w => (w.Station.ToString(), w.Width150Mm)).Single());
        Assert.Empty(facts[1].Widths);
    }
}
