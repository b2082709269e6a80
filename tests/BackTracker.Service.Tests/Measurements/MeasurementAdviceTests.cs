using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Measurements;

public sealed class MeasurementAdviceTests
{
    [Fact]
    public async Task Advice_threeGoodRepeatsBeforeWorkAndSquare_isNone()
    {
        await using var yard = await MeasuringYard.StartAsync();

        Assert.Empty(await AdviseAsync(yard, [311, 312, 313], """{"stance":{"square":true,"head":"neutral"}}"""));
    }

    [Theory]
    [InlineData(new[] { 312.0, 321 }, true)]
    [InlineData(new[] { 312.0, 320 }, false)]
    [InlineData(new[] { 312.0, 313, 319 }, true)]
    [InlineData(new[] { 312.0, 313, 318 }, false)]
    public async Task Advice_repeatsThatDisagree_areNamed(double[] widths, bool named)
    {
        await using var yard = await MeasuringYard.StartAsync();

        var advice = await AdviseAsync(yard, widths);

        Assert.Equal(named ? ["repeat-disagrees"] : [], advice.Select(a => a.Code));
        if (named)
            Assert.Contains($"{widths[^1]} mm", advice.Single().Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Advice_halvesThatDisagreeWithTheWidth_areNamedOnceAsTheWidth()
    {
        await using var yard = await MeasuringYard.StartAsync();

        var advice = await AdviseAsync(yard, [], """
            {"widths":[{"station":"T8","depthMm":150,"widthMm":312,"leftHalfMm":156,"rightHalfMm":156,"repeat":1},
                       {"station":"T8","depthMm":150,"widthMm":342,"leftHalfMm":171,"rightHalfMm":171,"repeat":2}]}
            """);

        var only = Assert.Single(advice);
        Assert.Equal(("T8", "T8.width150"), (only.Station, only.Metric));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Advice_offTheTrend_saysByHowMuch(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        await yard.RecordEveryFourWeeksAsync(new DateOnly(2026, 7, 1), 322, 323, 322, 323, 323);

        var expected = await AdviseAsync(yard, [323, 324, 325]);
        var unexpected = Assert.Single(await AdviseAsync(yard, [360, 361, 362]));

        Assert.Equal(("unexpected", "T13", "T13.width150"), (unexpected.Code, unexpected.Station, unexpected.Metric));
        Assert.Matches(@"^T13 is 361 mm wide at 150 mm, 3\d mm more than the trend leads one to expect \(32\d mm give or take \d+\)\. Take it again now, with the horse square\.$", unexpected.Text);
        Assert.Empty(expected);
    }

    [Fact]
    public async Task Advice_oneEarlierSession_tellsOnlyWhatNoBackDoesInThatTime()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await yard.RecordEveryFourWeeksAsync(new DateOnly(2026, 10, 1), 322);

        Assert.Empty(await AdviseAsync(yard, [330, 331, 332]));
        Assert.Equal("unexpected", Assert.Single(await AdviseAsync(yard, [360, 361, 362])).Code);
    }

    [Fact]
    public async Task Advice_afterWork_isNotHeldAgainstTheTrend()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await yard.RecordEveryFourWeeksAsync(new DateOnly(2026, 7, 1), 322, 323, 322, 323, 323);

        Assert.Equal(["after-work"], (await AdviseAsync(yard, [360, 361, 362], """{"exercise":"after"}""")).Select(a => a.Code));
    }

    [Theory]
    [InlineData("""{"exercise":"unknown"}""", "exercise-unknown")]
    [InlineData("""{"exercise":null}""", "exercise-unknown")]
    [InlineData("""{"stance":{"square":false}}""", "not-square")]
    [InlineData("""{"stance":{"square":true,"head":"low"}}""", "head")]
    [InlineData("""{"stance":{"square":true,"head":"high"}}""", "head")]
    public async Task Advice_conditions_areSaid(string more, string code)
    {
        await using var yard = await MeasuringYard.StartAsync();

        Assert.Equal([code], (await AdviseAsync(yard, [311, 312, 313], more)).Select(a => a.Code));
    }

    [Fact]
    public async Task Advice_oneRepeat_asksForMore()
    {
        await using var yard = await MeasuringYard.StartAsync();

        var advice = Assert.Single(await AdviseAsync(yard, [312]));

        Assert.Equal(("one-repeat", "T13"), (advice.Code, advice.Station));
        Assert.Contains("2 repeats would do", advice.Text, StringComparison.Ordinal);
    }

    private static async Task<IReadOnlyList<(string Code, string Text, string? Station, string? Metric)>> AdviseAsync(MeasuringYard yard, double[] widths, string more = "{}")
    {
        var reply = (await yard.Recorder.PostAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", widths, more))).Should(HttpStatusCode.Created);
        return [.. reply["advice"]!.AsArray().Select(a => (
            a!["code"]!.GetValue<string>(), a["text"]!.GetValue<string>(), a["station"]?.GetValue<string>(), a["metric"]?.GetValue<string>()))];
    }
}
