using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Service.Tests.Pictures;

namespace BackTracker.Service.Tests.Fit;

/// <summary>The saddle under its rider, over the API.</summary>
public sealed class ContactTests
{
    private static readonly string[] Places = ["left front", "right front", "left middle", "right middle", "left rear", "right rear"];

    [Fact]
    public async Task Contact_treeThatFollowsTheBack_pressesAsTheOneBesideIt()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());

        var contact = await AskAsync(service, yard);

        Assert.Equal(["soft", "normal", "firm"], Panels(contact).Select(panel => Text(panel["firmness"])));
        Assert.All(Panels(contact), panel =>
        {
            Assert.InRange(Number(panel["greatest"]) / Number(panel["conformingGreatest"]), .95, 1.25);
            Assert.True(Number(panel["touchingShare"]) > .99);
            Assert.Equal(Places, panel["regions"]!.AsArray().Select(region => $"{Text(region!["side"])} {Text(region["zone"])}"));
            Assert.Equal(1, panel["regions"]!.AsArray().Sum(region => Number(region!["loadShare"])), 1e-9);
            Assert.Equal(0, Number(panel["leftBridgeMm"]) + Number(panel["rightBridgeMm"]));
            Assert.Null(panel["lowerOn"]);
        });
        Assert.StartsWith("Lies level and has the slope of the back in front", Text(contact["frontAndRear"]), StringComparison.Ordinal);
        Assert.Equal((68, 0, 0), (Number(contact["riderAndTackKg"]), Number(contact["girthN"]), Number(contact["riderRightMm"])));
        Assert.Empty(contact["missing"]!.AsArray());
        Assert.DoesNotContain("kPa", contact.Text, StringComparison.Ordinal);
        foreach (var caution in new[] { "static picture of a rigid tree on a still horse", "in no unit", "does not tell a wrong width", "A green line does not mean safe" })
            Assert.Contains(contact["cautions"]!.AsArray(), said => Text(said).Contains(caution, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(14, "Sits down in front: ", "too wide sat down in front and pressed more there (MacKechnie-Guire et al. 2019")]
    [InlineData(-14, "Stands up in front: ", "too narrow stood up in front and pressed more behind (MacKechnie-Guire et al. 2019")]
    public async Task Contact_frontOpenedOrClosed_isSaidFromPitchAndAngle(double openedMm, string lies, string study)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());
        var zones = new[] { "left", "right" }.Select(side => new { side, zone = "front", mm = openedMm });

        var supposed = await service.Admin.PostAsync($"/v1/pairings/{yard.PairingId}/what-if", new { adjustments = new[] { new { kind = "tree", zones } } });
        var said = Text(supposed.Should(HttpStatusCode.OK)["contact"]!["frontAndRear"]);

        Assert.StartsWith(lies, said, StringComparison.Ordinal);
        Assert.Contains(study, said, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Contact_riderGirthAndSeat_areTaken()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());

        var usual = Panels(await AskAsync(service, yard))[1];
        var asked = await AskAsync(service, yard, "?riderWeightKg=90&girthN=200&riderRightMm=30");
        var off = Panels(asked)[1];

        Assert.Equal((98, 200, 30), (Number(asked["riderAndTackKg"]), Number(asked["girthN"]), Number(asked["riderRightMm"])));
        Assert.Equal("right", Text(off["lowerOn"]));
        Assert.Contains("Lies lower on the right.", Text(off["text"]), StringComparison.Ordinal);
        Assert.True(ShareOf(off, "right") > .55 && Math.Abs(ShareOf(usual, "right") - .5) < .02);
        Assert.True(Number(off["pressedTogether"]) > Number(usual["pressedTogether"]));
        Assert.True(Number(off["spineClearance"]!["roomMm"]) < Number(usual["spineClearance"]!["roomMm"]));
        Assert.Contains("above 20 %", Text(asked["load"]!["text"]), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Contact_riderNobodyWeighed_isAssumedAndSaidSo()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureAsync();
        var path = $"/v1/pairings/{yard.PairingId}";
        var etag = (await service.Admin.GetAsync(path)).Etag;
        await service.Admin.PutAsync(path, new { horseId = yard.HorseId, saddleId = yard.SaddleId, from = yard.TodayText, treeFrontFromT8Mm = TracedBack.FrontMm }, ("If-Match", etag));

        var contact = await AskAsync(service, yard);

        Assert.Equal(80, Number(contact["riderAndTackKg"]));
        Assert.Equal("Say what the rider weighs: 80 kg were taken for rider and tack.", Text(Assert.Single(contact["missing"]!.AsArray())));
        Assert.Null(contact["load"]);
        Assert.Equal(3, Panels(contact).Count);
    }

    [Theory]
    [InlineData("no topline", "Trace the topline along the spine, against a level line.")]
    [InlineData("no front", "Measure how far the tree's front edge lies behind T8 on this horse.")]
    [InlineData("too short", "The traces end above the lower edge of the panel: trace further down the sides.")]
    public async Task Contact_somethingLacks_saysWhichMeasurementBringsIt(string lack, string mending)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service, frontMm: lack == "no front" ? null : TracedBack.FrontMm);
        await yard.MeasureAsync(new() { HasTopline = lack != "no topline", LowestMm = lack == "too short" ? 65 : 155 });

        var contact = await AskAsync(service, yard);
        var picture = (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/contact.svg")).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");

        Assert.Empty(Panels(contact));
        Assert.Contains(contact["missing"]!.AsArray(), missing => Text(missing).StartsWith(mending, StringComparison.Ordinal));
        Assert.Contains(mending, Text(picture["detail"]), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Contact_flockingSupposed_showsHowItWouldPress()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { HollowMm = 10 });

        var asIs = Panels(await AskAsync(service, yard))[2];
        var supposed = (await service.Admin.PostTextAsync(
            $"/v1/pairings/{yard.PairingId}/what-if",
            """{"adjustments":[{"kind":"shim","zones":[{"side":"left","zone":"middle","mm":6},{"side":"right","zone":"middle","mm":6}]}]}""")).Should(HttpStatusCode.OK);
        var shimmed = supposed["contact"]!["panels"]!.AsArray()[2]!;

        Assert.True(Number(shimmed["greatest"]) < Number(asIs["greatest"]) - .2, $"{shimmed["greatest"]} against {asIs["greatest"]}");
        Assert.True(Number(shimmed["touchingShare"]) >= Number(asIs["touchingShare"]));
    }

    [Fact]
    public async Task ContactSvg_saddle_isDrawnBesideTheTreeThatFollowsTheBack()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new() { HollowMm = 14, WiderMm = 10 });

        foreach (var width in new[] { 280, 360, 640, 1600 })
        {
            var reply = (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/contact.svg?firmness=firm&riderRightMm=20&width={width}")).Should(HttpStatusCode.OK);
            var picture = ReadPicture.Of(reply.Text).ShouldBeSound().ShouldKeepWordsApart();

            Assert.Equal(("Sorrel's saddle on Sorrel under its rider, 25 November 2026", width), (picture.Title, picture.WidthPx));
            Assert.Contains("static picture of a rigid tree on a still horse", picture.Description, StringComparison.Ordinal);
            Assert.Matches(@"This saddle: left front \d\.\d in the mean and \d\.\d at most; .*Follows the back: left front", picture.Description);
            Assert.Contains("Rider and tack 68 kg, 20 mm to the right, firm panel.", picture.Description, StringComparison.Ordinal);
            Assert.Equal(4, picture.OfClass("panel-outline").Count());
            Assert.True(picture.OfClass("press-off").Count() >= 2, "It does not touch over the hollow.");
        }
    }

    [Theory]
    [InlineData("contact?riderWeightKg=5")]
    [InlineData("contact?girthN=-1")]
    [InlineData("contact?riderRightMm=61")]
    [InlineData("contact?riderRightMm=NaN")]
    [InlineData("contact?girthN=many")]
    [InlineData("contact.svg?firmness=hard")]
    [InlineData("contact.svg?width=9000")]
    public async Task Contact_badQuery_isRefused(string query)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);

        (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/{query}")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
    }

    private static async Task<Reply> AskAsync(RunningService service, TracedYard yard, string query = "") =>
        (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/contact{query}")).Should(HttpStatusCode.OK);

    private static List<JsonNode> Panels(Reply contact) => [.. contact["panels"]!.AsArray().OfType<JsonNode>()];

    private static double ShareOf(JsonNode panel, string side) => panel["regions"]!.AsArray().Where(region => Text(region!["side"]) == side).Sum(region => Number(region!["loadShare"]));

    private static string Text(JsonNode? node) => node!.GetValue<string>();

    private static double Number(JsonNode? node) => node!.GetValue<double>();
}
