using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Measurements;

namespace BackTracker.Service.Tests.Measurements;

/// <summary>Drawn traces from the paper to values, over HTTP. The drawings are even backs, so that what they should read is known.</summary>
public sealed class MeasurementTraceTests
{
    private const string Marks = ""","midline":[0,0],"level":[[-100,0],[100,0]]""";

    private static readonly string[] Unmarked =
        ["T13.width30", "T13.width60", "T13.width90", "T13.width120", "T13.width150", "T13.shapeRatio", "T13.angle", "T13.fill"];

    private static readonly string[] BySide =
    [
        "T13.halfLeft30", "T13.halfRight30", "T13.asymmetry30", "T13.halfLeft150", "T13.halfRight150", "T13.asymmetry150",
        "T13.angleLeft", "T13.angleRight", "T13.fillLeft", "T13.fillRight",
    ];

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Record_traceWithBothMarks_derivesWidthsShapeAndBothSides(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);

        var made = await RecordAsync(yard, Trace(new Drawing(), Marks));

        var derived = Derived(made);
        Assert.Equal([.. Unmarked, .. BySide], derived.Keys);
        Assert.Equal(116, derived["T13.width30"].Value, .1);
        Assert.Equal(280, derived["T13.width150"].Value, .1);
        Assert.Equal(116.0 / 280, derived["T13.shapeRatio"].Value, .001);
        Assert.Equal(0, derived["T13.asymmetry150"].Value, .001);
        Assert.Equal(derived["T13.angleLeft"].Value, derived["T13.angle"].Value, .001);
        Assert.Equal(("deg", "mm2"), (derived["T13.angle"].Unit, derived["T13.fillRight"].Unit));
        Assert.All(derived.Values, value => Assert.Null(value.Note));
        Assert.Equal(["one-repeat"], Codes(made));
        var again = await yard.Reader.GetAsync($"/v1/measurements/{made["id"]}");
        Assert.True(JsonNode.DeepEquals(made["derived"], again["derived"]));
    }

    [Fact]
    public async Task Record_traceMovedAndTurnedWithItsMarks_readsTheSame()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var moved = new Drawing { ShiftMm = 12, SinkMm = -3, TurnDeg = 4 };

        var plain = Derived(await RecordAsync(yard, Trace(new Drawing(), Marks)));
        foreach (var level in new[] { $"[{moved.Place(-180, 12)},{moved.Place(180, 12)}]", $"[{moved.Place(180, 12)},{moved.Place(-180, 12)}]" })
        {
            var derived = Derived(await RecordAsync(yard, Trace(moved, $$""","midline":{{moved.Place(0, 0)}},"level":{{level}}""")));

            Assert.Equal(plain.Keys, derived.Keys);
            Assert.All(plain, value => Assert.Equal(value.Value.Value, derived[value.Key].Value, .001 + (.001 * Math.Abs(value.Value.Value))));
        }
    }

    [Theory]
    [InlineData("", "the midline and a level line")]
    [InlineData(""","midline":[0,0]""", "a level line too")]
    [InlineData(""","level":[[-100,0],[100,0]]""", "the midline too")]
    public async Task Record_traceWithoutAMark_leavesTheSidesOutAndSaysWhy(string marks, string missing)
    {
        await using var yard = await MeasuringYard.StartAsync();

        var made = await RecordAsync(yard, Trace(new Drawing(), marks));

        var derived = Derived(made);
        Assert.Equal(Unmarked, derived.Keys);
        Assert.Contains("midline and a level line", derived["T13.angle"].Note, StringComparison.Ordinal);
        Assert.Contains("midline and a level line", derived["T13.fill"].Note, StringComparison.Ordinal);
        Assert.Null(derived["T13.width150"].Note);
        var advice = Advice(made, "no-marks");
        Assert.Contains($"Mark {missing} on the paper at T13", advice.Text, StringComparison.Ordinal);
        Assert.Contains("left and right cannot be told apart", advice.Text, StringComparison.Ordinal);
        Assert.Equal("T13", advice.Station);
        Assert.Equal(["no-marks", "one-repeat"], Codes(made));
    }

    [Fact]
    public async Task Record_widthBesideATrace_countsAsAnotherRepeat()
    {
        await using var yard = await MeasuringYard.StartAsync();

        var made = await RecordAsync(yard, $$"""
            {{Trace(new Drawing(), Marks)}},{{Trace(new Drawing(), Marks, repeat: 2)}}],
            "widths":[{"station":"T13","depthMm":150,"widthMm":283,"leftHalfMm":141,"rightHalfMm":142}
            """);

        var derived = Derived(made);
        Assert.Equal(281, derived["T13.width150"].Value, .1);
        Assert.Equal(116, derived["T13.width30"].Value, .1);
        Assert.Equal(100 / 141.5 / 3, derived["T13.asymmetry150"].Value, .001);
        Assert.Empty(Codes(made));
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        var readings = MeasurementFacts.ToSession(Assert.Single(await MeasurementStore.LiveOfHorseAsync(session, yard.HorseId))).Readings;
        Assert.Equal(3, readings.Count(r => r.Metric.ToString() == "T13.width150"));
        Assert.Equal(2, readings.Count(r => r.Metric.ToString() == "T13.angleLeft"));
    }

    [Fact]
    public async Task Record_topline_derivesTheDip()
    {
        await using var yard = await MeasuringYard.StartAsync();

        var made = (await yard.Recorder.PostAsync(yard.Measurements, yard.Session("2026-11-24T10:00:00Z", [], """{"topline":[[0,0],[100,20],[200,31],[300,20],[400,0]]}"""))).Should(HttpStatusCode.Created);

        Assert.Equal(31, Derived(made)["dip"].Value);
        Assert.Equal("mm", Derived(made)["dip"].Unit);
        var trends = (await yard.Reader.GetAsync($"/v1/horses/{yard.HorseId}/trends?metric=dip&horizonDays=1")).Should(HttpStatusCode.OK);
        Assert.Equal("dip", trends.Items.Single()!["metric"]!.GetValue<string>());
    }

    [Fact]
    public async Task Record_pointsFarApart_saysWhatThatCosts()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var made = await RecordAsync(yard, Trace(new Drawing { SpacingMm = 12 }, Marks));

        var advice = Advice(made, "points-apart");

        Assert.Equal("T13", advice.Station);
        Assert.StartsWith("Points 12 mm apart at T13: 5 mm or closer is wanted", advice.Text, StringComparison.Ordinal);
        // 1.4 mm at 15 mm (60 simulated draws, docs/method.md), growing with the square of the spacing.
        Assert.Contains("about 0.9 mm of the width 30 mm down", advice.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(150, 125, "ends 122 mm down on the right: no width at 150 mm")]
    [InlineData(125, 150, "ends 122 mm down on the left: no width at 150 mm")]
    [InlineData(55, 55, "ends 27 mm down: no width at 30 and 150 mm")]
    public async Task Record_traceThatEndsEarly_saysWhereAndGuessesNothing(double left, double right, string said)
    {
        await using var yard = await MeasuringYard.StartAsync();

        var made = await RecordAsync(yard, Trace(new Drawing { LeftMm = left, RightMm = right }, Marks));

        Assert.Contains(said, Advice(made, "depth-not-reached").Text, StringComparison.Ordinal);
        Assert.DoesNotContain("T13.width150", Derived(made).Keys);
        Assert.DoesNotContain("T13.shapeRatio", Derived(made).Keys);
    }

    [Fact]
    public async Task Record_oddDrawings_areTakenAndNamed()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var setBack = new Drawing().Points.Replace("[60.0000,", "[42.0000,40.0000],[48.0000,22.0000],[60.0000,", StringComparison.Ordinal);

        var sunk = await RecordAsync(yard, Trace(new Drawing { SinkMm = 6 }, Marks));
        var unmarked = await RecordAsync(yard, Trace(new Drawing { SinkMm = -6 }, ""));
        var backwards = await RecordAsync(yard, $$"""{"station":"T13","points":{{new Drawing().PointsBackwards}}{{Marks}}}""");
        var ambiguous = await RecordAsync(yard, $$"""{"station":"T13","points":{{setBack}}{{Marks}}}""");

        Assert.Contains("passes 6 mm below the midline mark", Advice(sunk, "depth-shifted").Text, StringComparison.Ordinal);
        Assert.Contains("crosses the midline 6 mm above its own zero", Advice(unmarked, "depth-shifted").Text, StringComparison.Ordinal);
        Assert.Contains("turned round", Advice(backwards, "reversed").Text, StringComparison.Ordinal);
        Assert.Contains("passes the same depth several times, 1", Advice(ambiguous, "ambiguous-crossing").Text, StringComparison.Ordinal);
        Assert.Equal(Derived(sunk)["T13.width150"], Derived(backwards)["T13.width150"]);
    }

    [Fact]
    public async Task Record_crookedPaperWithoutMarks_isSaidAndNotCorrected()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var crooked = new Drawing { Half30Mm = 52, Half150Mm = 135, ShiftMm = 4, TurnDeg = 2 };

        var made = await RecordAsync(yard, Trace(crooked, ""));
        var marked = await RecordAsync(yard, Trace(crooked, $$""","midline":{{crooked.Place(0, 0)}},"level":[{{crooked.Place(-150, 0)}},{{crooked.Place(150, 0)}}]"""));

        Assert.Matches(@"^A trace at T13 is uneven, as a drawing 4 mm too far to the right and turned by 2\.\d degrees with the right side low would be\. So may the horse be", Advice(made, "uneven").Text);
        Assert.Contains("Nothing was corrected", Advice(made, "uneven").Text, StringComparison.Ordinal);
        Assert.Equal(["one-repeat"], Codes(marked));
    }

    [Fact]
    public async Task Record_roundBackDrawnCrooked_cannotTellShiftFromTurn()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var circle = string.Join(",", Enumerable.Range(-80, 161).Select(deg => FormattableString.Invariant(
            $"[{5 + (170 * Math.Sin(double.DegreesToRadians(deg))):0.000},{170 - (170 * Math.Cos(double.DegreesToRadians(deg))):0.000}]")));

        var text = Advice(await RecordAsync(yard, $$"""{"station":"T13","points":[{{circle}}]}"""), "uneven").Text;

        Assert.Matches(@"5 mm too far to the right, or one turned by 1\.\d degrees with the left side low", text);
        Assert.Contains("This shape cannot tell shift from turn", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Record_oneBadTraceOfTwo_isNamedOnceForItsStation()
    {
        await using var yard = await MeasuringYard.StartAsync();

        var made = await RecordAsync(yard, $"{Trace(new Drawing(), Marks)},{Trace(new Drawing { Half30Mm = 70, Half150Mm = 160, LeftMm = 165, RightMm = 165 }, Marks, repeat: 2)}");

        Assert.Equal(["repeat-disagrees"], Codes(made));
        Assert.Contains("the width at T13", Advice(made, "repeat-disagrees").Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Record_traceOffTheTrend_isNamedOnceForItsStation()
    {
        await using var yard = await MeasuringYard.StartAsync();
        foreach (var day in new[] { "08-01", "08-29", "09-26", "10-24" })
            await RecordAsync(yard, $"{Trace(new Drawing(), Marks)},{Trace(new Drawing(), Marks, repeat: 2)}", $"2026-{day}T10:00:00Z");
        var wide = new Drawing { Half30Mm = 75, Half150Mm = 165, LeftMm = 170, RightMm = 170 };

        var made = await RecordAsync(yard, $"{Trace(wide, Marks)},{Trace(wide, Marks, repeat: 2)}");

        Assert.Equal(["unexpected"], Codes(made));
        Assert.Contains("more than the trend leads one to expect", Advice(made, "unexpected").Text, StringComparison.Ordinal);
    }

    private static string Trace(Drawing drawing, string marks, int repeat = 1) => $$"""{"station":"T13","repeat":{{repeat}},"points":{{drawing.Points}}{{marks}}}""";

    private static async Task<Reply> RecordAsync(MeasuringYard yard, string traces, string at = "2026-11-24T10:00:00Z") =>
        (await yard.Recorder.PostAsync(yard.Measurements, yard.Session(at, [], $$"""{"traces":[{{traces}}]}"""))).Should(HttpStatusCode.Created);

    private static Dictionary<string, (double Value, string Unit, string? Note)> Derived(Reply made) => made["derived"]!.AsArray()
        .ToDictionary(d => d!["metric"]!.GetValue<string>(), d => (d!["value"]!.GetValue<double>(), d["unit"]!.GetValue<string>(), d["note"]?.GetValue<string>()));

    private static IEnumerable<string> Codes(Reply made) => made["advice"]!.AsArray().Select(a => a!["code"]!.GetValue<string>());

    private static (string Text, string? Station) Advice(Reply made, string code)
    {
        var advice = Assert.Single(made["advice"]!.AsArray(), a => a!["code"]!.GetValue<string>() == code)!;
        return (advice["text"]!.GetValue<string>(), advice["station"]?.GetValue<string>());
    }
}
