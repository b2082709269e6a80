using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Measurements;

/// <summary>One service for many requests that are all refused.</summary>
public sealed class RefusingService : IAsyncLifetime
{
    internal MeasuringYard Yard { get; private set; } = null!;

    public async ValueTask InitializeAsync() => Yard = await MeasuringYard.StartAsync();

    public ValueTask DisposeAsync() => Yard.DisposeAsync();
}

public sealed class MeasurementRulesTests(RefusingService service) : IClassFixture<RefusingService>
{
    private const string Points = """{"traces":[{"station":"T13","repeat":1,"points":[[-150,""";

    [Theory]
    [InlineData("""{"note":"nothing else"}""", "/", "Nothing was measured")]
    [InlineData("""{"widths":[],"traces":[],"stationPositionsMm":{}}""", "/", "Nothing was measured")]
    [InlineData("""{"girthMm":1800,"measuredAt":"1959-12-31T10:00:00Z"}""", "/measuredAt", "1960")]
    [InlineData("""{"girthMm":1800,"measuredAt":"2015-04-01T10:00:00-06:00"}""", "/measuredAt", "born on 2015-04-02")]
    [InlineData("""{"girthMm":1800,"measuredAt":"2026-11-25T09:05:01Z"}""", "/measuredAt", "future")]
    [InlineData("""{"girthMm":180}""", "/girthMm", "did you mean")]
    [InlineData("""{"girthMm":18000}""", "/girthMm", "did you mean")]
    [InlineData("""{"supportLengthMm":43}""", "/supportLengthMm", "did you mean")]
    [InlineData("""{"weightKg":5000}""", "/weightKg", "plausible")]
    [InlineData("""{"conditionScore1to9":0.5}""", "/conditionScore1to9", "plausible")]
    [InlineData("""{"neckScore0to5":6}""", "/neckScore0to5", "plausible")]
    [InlineData("""{"girthMm":1800,"stance":{}}""", "/stance/square", "required")]
    [InlineData("""{"widths":[{"station":"T4","depthMm":150,"widthMm":312}]}""", "/widths/0/station", "T5 to T18")]
    [InlineData("""{"widths":[{"station":"T13","depthMm":15,"widthMm":312}]}""", "/widths/0/depthMm", "20")]
    [InlineData("""{"widths":[{"station":"T13","depthMm":150,"widthMm":31}]}""", "/widths/0/widthMm", "did you mean")]
    [InlineData("""{"widths":[{"station":"T13","depthMm":150,"widthMm":3120}]}""", "/widths/0/widthMm", "did you mean 312 mm")]
    [InlineData("""{"widths":[{"station":"T13","depthMm":150,"widthMm":-312}]}""", "/widths/0/widthMm", "plausible")]
    [InlineData("""{"widths":[{"station":"T13","depthMm":150,"widthMm":312,"leftHalfMm":150,"rightHalfMm":150}]}""", "/widths/0/widthMm", "add up to 300 mm")]
    [InlineData("""{"widths":[{"station":"T13","depthMm":150,"widthMm":312,"leftHalfMm":156}]}""", "/widths/0/rightHalfMm", "both halves")]
    [InlineData("""{"widths":[{"station":"T13","depthMm":150,"widthMm":312},{"station":"T13","depthMm":150,"widthMm":313,"repeat":1}]}""", "/widths/1", "twice")]
    [InlineData("""{"widths":[null]}""", "/widths/0", "null")]
    [InlineData("""{"stationPositionsMm":{"T13":24},"girthMm":1800}""", "/stationPositionsMm/T13", "240")]
    [InlineData("""{"stationPositionsMm":{"T8":10},"girthMm":1800}""", "/stationPositionsMm/T8", "T8 is 0")]
    [InlineData("""{"stationPositionsMm":{"L1":500},"girthMm":1800}""", "/stationPositionsMm/L1", "T5 to T18")]
    [InlineData("""{"topline":[[0,0],[5,1],[10,2],[20,2],[40,1]]}""", "/topline", "cm")]
    [InlineData("""{"topline":[[0,0],[400,1]]}""", "/topline", "5")]
    [InlineData("""{"topline":[[300,0],[100,2],[0,0],[100,2],[300,0]]}""", "/topline", "0 mm long")]
    public async Task Record_whatCannotBe_saysWhereAndHowToMend(string more, string pointer, string hint) => await ShouldRefuseAsync(more, pointer, hint);

    [Theory]
    [InlineData("[[-15,17],[-12,11],[-6,3],[0,0],[6,3],[12,11],[15,17]]", "/points", "cm")]
    [InlineData("[[-120,-118],[-90,-72],[-60,-36],[-30,-12],[0,0],[30,-12],[60,-36],[90,-72],[120,-118]]", "/points", "upside down")]
    [InlineData("[[10,0],[40,12],[70,36],[100,72],[120,100]]", "/points", "one side")]
    [InlineData("[[-120,118],[-60,36],[0,0],[60,36]]", "/points", "5")]
    [InlineData("[[-60,60],[-60,60],[-30,20],[0,0],[30,20]]", "/points", "fewer than 5 different points")]
    [InlineData("[[-60,60],[-30,20],[0,0],[30,20],[60,60]]", "/points", "more than 40 mm apart")]
    [InlineData("[[-120,118],[-60,36],[0,0],[60,36],[900,118]]", "/points/4", "off the horse")]
    [InlineData("[[-120,118],[-60,36,1],[0,0],[60,36],[90,118]]", "/points/1", "pair")]
    public async Task Record_traceThatCannotBe_saysWhereAndHowToMend(string points, string pointer, string hint) =>
        await ShouldRefuseAsync($$"""{"traces":[{"station":"T13","repeat":1,"points":{{points}}}]}""", "/traces/0" + pointer, hint);

    [Theory]
    [InlineData(""","midline":[0]""", "/midline/0", "pair")]
    [InlineData(""","midline":[160,0]""", "/midline", "one side")]
    [InlineData(""","level":[[-100,0],[100,80]]""", "/level", "tilted")]
    [InlineData(""","level":[[100,80],[-100,0]]""", "/level", "tilted")]
    [InlineData(""","level":[[0,-50],[0,50]]""", "/level", "tilted")]
    [InlineData(""","level":[[20,0],[20,0]]""", "/level", "left end")]
    [InlineData(""","level":[[-100,0]]""", "/level", "left end")]
    [InlineData(""","repeat":0""", "/repeat", "1")]
    public async Task Record_marksThatCannotBe_saysWhereAndHowToMend(string marks, string pointer, string hint) =>
        await ShouldRefuseAsync($$"""{"traces":[{"station":"T13","points":{{MeasuringYard.Trace}}{{marks}}}]}""", "/traces/0" + pointer, hint);

    [Theory]
    [InlineData("""{"girth":1800}""", "unknown-member", "/girth")]
    [InlineData("""{"girthMm":"1800"}""", "malformed", "/girthMm")]
    [InlineData("""{"method":"eye","girthMm":1800}""", "malformed", "/method")]
    [InlineData("""{"measuredAt":"2026-11-24T10:00:00","girthMm":1800}""", "malformed", "/measuredAt")]
    [InlineData("""{"widths":[{"station":"T13","depthMm":150.5,"widthMm":312}]}""", "malformed", "/widths/0/depthMm")]
    public async Task Record_whatCannotBeRead_saysWhere(string more, string kind, string pointer)
    {
        var yard = service.Yard;

        var reply = (await yard.Recorder.PostAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [], more))).ShouldBeProblem(HttpStatusCode.BadRequest, kind);

        Assert.NotNull(reply["errors"]![pointer]);
        Assert.Equal(0, await yard.CountAsync());
    }

    [Fact]
    public async Task Record_notANumber_isRefused()
    {
        var yard = service.Yard;
        var text = yard.Session("2026-11-24T10:00:00Z", [], """{"girthMm":1800}""").ToJsonString().Replace("1800", "1e999", StringComparison.Ordinal);

        (await yard.Recorder.PostAsync(yard.Measurements, text)).ShouldBeProblem(HttpStatusCode.BadRequest, "malformed");
        (await yard.Recorder.PostAsync(yard.Measurements, text.Replace("\"girthMm\":1e999", Points[1..] + "1e999]]}]", StringComparison.Ordinal))).ShouldBeProblem(HttpStatusCode.BadRequest, "malformed");
    }

    [Fact]
    public async Task Record_neitherTracesNorWidths_isFineWhereSomethingElseIsMeasured()
    {
        await using var yard = await MeasuringYard.StartAsync();

        await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-25T09:05:00Z", [], """{"weightKg":480}"""));
        await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-25T09:05:00Z", [], $$"""{"traces":[{"station":"T13","points":{{MeasuringYard.Trace}}}]}"""));

        Assert.Equal(2, await yard.CountAsync());
    }

    private async Task ShouldRefuseAsync(string more, string pointer, string hint)
    {
        var yard = service.Yard;

        var reply = (await yard.Recorder.PostAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [], more)))
            .ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");

        Assert.True(reply["errors"]![pointer] is JsonArray, $"{pointer} is not named: {reply.Text}");
        Assert.Contains(hint, reply["errors"]![pointer]!.ToJsonString(), StringComparison.Ordinal);
        Assert.Equal(0, await yard.CountAsync());
    }
}
