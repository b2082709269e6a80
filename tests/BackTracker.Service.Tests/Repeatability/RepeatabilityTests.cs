using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Repeatability;

/// <summary>Pairs of widths at T13 that lie a known distance apart: what must come out is worked out here by hand.</summary>
public sealed class RepeatabilityTests
{
    // From printed tables.
    private const double ChiSquare975Of31 = 48.232;

    private static readonly DateOnly First = new(2026, 1, 5);

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Person_twentyFivePairs_isToldWithIntervalAndLeastRealChange(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        await PairsAsync(yard, 25, apart: 4);

        var answer = (await yard.Reader.GetAsync($"/v1/people/{yard.FitterId}/repeatability")).Should(HttpStatusCode.OK);

        var item = Assert.Single(answer.Items)!;
        // Each pair has a sum of squares of 8; six pairs' worth of 2 mm come before them.
        var sd = Math.Sqrt(((6 * 4) + (25 * 8)) / 31.0);
        Assert.Equal(("arm-gauge", "T13.width150", 25, 25), (Text(item, "method"), Text(item, "metric"), item["sessions"]!.GetValue<int>(), item["repeats"]!.GetValue<int>()));
        Assert.Equal(sd, Number(item, "sd"), 1e-4);
        Assert.Equal(sd * Math.Sqrt(31 / ChiSquare975Of31), item["band95"]![0]!.GetValue<double>(), 1e-3);
        Assert.Equal(("person", 0, 1.82), (Text(item["usedInTrends"]!, "basis"), item["sessionPairs"]!.GetValue<int>(), Number(item, "sessionSd")));
        Assert.Equal(1.96 * Math.Sqrt(2) * Math.Sqrt((sd * sd / 3) + (1.82 * 1.82)), item["leastRealChange"]![2]!["change"]!.GetValue<double>(), 1e-3);
        Assert.Equal(3, item["repeatsThatDo"]!.GetValue<int>());
        Assert.Contains("3 repeats", answer["text"]!.GetValue<string>() + answer["advice"]![0]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Contains("T13: nobody noted where it lies", answer["stations"]![0]!["text"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Person_onAnEarlierDayOrWithSessionsVoided_countsWhatStood()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var ids = await PairsAsync(yard, 4, apart: 4);
        (await yard.Recorder.PostAsync($"/v1/measurements/{ids[0]}/void", new { reason = "Wrong horse." })).Should(HttpStatusCode.OK);

        var now = await yard.Reader.GetAsync($"/v1/people/{yard.FitterId}/repeatability");
        var earlier = await yard.Reader.GetAsync($"/v1/people/{yard.FitterId}/repeatability?asOf={Day(First.AddDays(7))}");

        Assert.Equal((3, 1), (Assert.Single(now.Items)!["repeats"]!.GetValue<int>(), Assert.Single(earlier.Items)!["repeats"]!.GetValue<int>()));
        Assert.Equal(Day(First.AddDays(7)), earlier["asOf"]!.GetValue<string>());
        Assert.Equal("starting", Text(now.Items[0]!["usedInTrends"]!, "basis"));
    }

    [Fact]
    public async Task Person_askedByAKeyOfOneYard_isToldFromThatYardAlone()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await PairsAsync(yard, 2, apart: 4);
        var elsewhere = await yard.Admin.MakeAsync("/v1/yards", new { name = "Mill Bottom", timeZone = "UTC" });
        var horse = await yard.Admin.MakeAsync("/v1/horses", new { yardId = elsewhere, name = "Plover" });
        var person = (await yard.Admin.GetAsync($"/v1/people/{yard.FitterId}")).Should(HttpStatusCode.OK);
        (await yard.Admin.PutAsync($"/v1/people/{yard.FitterId}", new { name = "A fitter", role = "fitter", yardIds = new[] { yard.YardId, elsewhere } }, ("If-Match", person.Etag))).Should(HttpStatusCode.OK);
        await yard.Admin.MakeAsync($"/v1/horses/{horse}/measurements", yard.Session("2026-02-01T10:00:00Z", [300, 301]));

        var own = await yard.Reader.GetAsync($"/v1/people/{yard.FitterId}/repeatability");
        var all = await yard.Admin.GetAsync($"/v1/people/{yard.FitterId}/repeatability");

        Assert.Equal((2, 3), (own["sessions"]!.GetValue<int>(), all["sessions"]!.GetValue<int>()));
        (await yard.Stranger.GetAsync($"/v1/people/{yard.FitterId}/repeatability")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        Assert.Equal(0, (await yard.Stranger.GetAsync("/v1/methods/arm-gauge/repeatability"))["sessions"]!.GetValue<int>());
    }

    [Fact]
    public async Task People_whoMeasuredTheSameHorseWithinAWeek_areHeldAgainstEachOther()
    {
        await using var yard = await MeasuringYard.StartAsync();
        foreach (var (week, difference) in new[] { (0, 3.0), (5, 5), (10, 4) })
        {
            await yard.Recorder.MakeAsync(yard.Measurements, yard.Session(At(7 * week), [300, 300]));
            await yard.Recorder.MakeAsync(yard.Measurements, yard.Session(At((7 * week) + 2), [300 + difference], $$"""{"measuredBy":"{{yard.VetId}}"}"""));
        }

        var other = Assert.Single((await yard.Reader.GetAsync($"/v1/people/{yard.VetId}/repeatability?metric=T13.width150"))["others"]!.AsArray())!;

        Assert.Equal((yard.FitterId, 3), (Text(other["person"]!, "id"), other["pairs"]!.GetValue<int>()));
        // Differences 3, 5, 4: mean 4, deviation 1; t of two degrees of freedom is 4.3027.
        Assert.Equal(4, Number(other["bias"]!, "value"), 1e-9);
        Assert.Equal(4 - (4.3026527 / Math.Sqrt(3)), Number(other["bias"]!, "low"), 1e-3);
        Assert.Equal((2.04, 5.96), (Number(other["lowLimit"]!, "value"), Number(other["highLimit"]!, "value")));
        Assert.Contains("more than A fitter", Text(other, "text"), StringComparison.Ordinal);
        Assert.Contains("Too few", Text(other, "text"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Method_pooledOverPeople_namesEach()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await PairsAsync(yard, 15, apart: 4);
        await PairsAsync(yard, 10, apart: 1, by: yard.VetId);

        var answer = (await yard.Reader.GetAsync("/v1/methods/arm-gauge/repeatability")).Should(HttpStatusCode.OK);

        var item = Assert.Single(answer.Items)!;
        Assert.Equal(Math.Sqrt(((6 * 4) + (15 * 8) + (10 * .5)) / 31), Number(item, "sd"), 1e-4);
        Assert.Equal(("method", 2), (Text(item["usedInTrends"]!, "basis"), item["people"]!.AsArray().Count));
        Assert.Contains("A vet", item["people"]!.ToJsonString(), StringComparison.Ordinal);
        (await yard.Reader.GetAsync("/v1/methods/eyesight/repeatability")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Reader.GetAsync("/v1/methods/arm-gauge/repeatability?metric=T13")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
        Assert.Contains("nothing was measured yet", (await yard.Reader.GetAsync("/v1/methods/tape/repeatability"))["text"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Advice_ofAnUnsteadyHand_asksForAsManyRepeatsAsWouldDo()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await PairsAsync(yard, 25, apart: 5);

        var receipt = await yard.Recorder.PostAsync(yard.Measurements, yard.Session(At(200), [312, 315]));

        // Sum of squares 12.5 a pair: 3.3 mm, against 1.82 from session to session.
        var advice = receipt.Should(HttpStatusCode.Created)["advice"]!.AsArray().Single(a => Text(a!, "code") == "few-repeats")!;
        Assert.Contains("Measured twice at T13: 4 repeats would do", Text(advice, "text"), StringComparison.Ordinal);
    }

    /// <summary>What an assessment stores of errors is enough to come to its numbers again.</summary>
    [Fact]
    public async Task Assessment_storesTheErrorsItUsed_andTheyGiveItsNumbersAgain()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await PairsAsync(yard, 25, apart: 6);
        await yard.Service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);

        var stored = (await yard.Reader.GetAsync($"/v1/horses/{yard.HorseId}/assessments")).Items[^1]!;

        var error = Assert.Single(stored["inputs"]!["errors"]!.AsArray())!;
        Assert.Equal((yard.FitterId, "arm-gauge", "T13.width150", "person"), (Text(error, "personId"), Text(error, "method"), Text(error, "metric"), Text(error, "basis")));
        var trend = stored["outputs"]!["trends"]![0]!;
        var points = Enumerable.Range(0, 25).Select(i => new SeriesPoint(First.AddDays(7 * i), 303, 2, ExerciseState.Before, Number(error, "sd")));
        var again = MetricTrend.Fit(new MetricSeries(Metric.Width(Station.Of(13), 150), [.. points], [], PriorContext.NothingRecorded), TrendModel.Shipped);
        Assert.Equal(again.LeastRealChange, Number(trend, "leastRealChange"), 1e-9);
        Assert.Equal(again.Rate.StandardError * 28, Number(trend, "perFourWeeksSe"), 1e-9);
    }

    [Fact]
    public async Task Trends_knownOnAnEarlierDay_goByTheErrorsKnownThen()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await PairsAsync(yard, 25, apart: 8);

        async Task<double> ErrorAsync(string query) => Number((await yard.Reader.GetAsync($"/v1/horses/{yard.HorseId}/trends?metric=T13.width150{query}")).Items[0]!["points"]![0]!, "se");

        var (then, now) = (await ErrorAsync($"&asOf={Day(First.AddDays(7 * 10))}"), await ErrorAsync(""));

        Assert.True(now > 1.3 * then, $"{now} after all, {then} when only eleven pairs were known");
    }

    /// <summary>Pairs of one horse, a week apart.</summary>
    private static async Task<IReadOnlyList<string>> PairsAsync(MeasuringYard yard, int count, double apart, string? by = null)
    {
        var ids = new List<string>();
        for (var i = 0; i < count; i++)
            ids.Add(await yard.Recorder.MakeAsync(yard.Measurements, yard.Session(At(7 * i), [303 - (apart / 2), 303 + (apart / 2)], by is null ? "{}" : $$"""{"measuredBy":"{{by}}"}""")));
        return ids;
    }

    private static string At(int daysLater) => $"{Day(First.AddDays(daysLater))}T15:00:00Z";

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Text(JsonNode node, string name) => node[name]!.GetValue<string>();

    private static double Number(JsonNode node, string name) => node[name]!.GetValue<double>();
}
