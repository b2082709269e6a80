using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Sections;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Sections;

public sealed class ExpectedSectionTests
{
    private static readonly DateOnly LastOn = Larkfield.Today.AddDays(-7);

    [Fact]
    public void AllOn_tracedHorse_givesEveryStationFrontToRearWhereItLies()
    {
        var sections = On(TracedHorse.Settled, LastOn);

        Assert.Equal(["T8", "T13", "T18"], sections.Select(section => section.Station.ToString()));
        Assert.Equal([0, 210, 420], sections.Select(section => section.PositionMm!.Value));
        Assert.All(sections, section => Assert.Equal(SectionKind.Traced, section.Kind));
        Assert.All(sections, section => Assert.False(section.SidesAreKnown));
    }

    [Fact]
    public void AllOn_steadyHorse_goesThroughItsHalfWidthsAndKeepsItsShape()
    {
        var t13 = On(TracedHorse.Settled, LastOn)[1];
        var metrics = new ProfileMetrics(t13.Section);

        Assert.Equal([30, 60, 90, 120, 150], t13.HalfWidths.Select(half => half.DepthMm));
        Assert.All(t13.HalfWidths, half => Assert.Equal(HalfOfT13(half.DepthMm), half.MeanMm, .2));
        Assert.All(t13.HalfWidths, half => Assert.Equal(2 * half.MeanMm, metrics.WidthMm(half.DepthMm), .05));
        // The invented back is a power curve: its ratio is (30/150)^(1/1.75).
        Assert.Equal(Math.Pow(.2, 1 / 1.75), metrics.ShapeRatio, .005);
        Assert.InRange(metrics.AngleDeg, AngleOfT13() - .4, AngleOfT13() + .4);
        Assert.InRange(metrics.FillMm2, FillOfT13() - 250, FillOfT13() + 250);
    }

    [Fact]
    public void Curve_isDrawnFromLeftToRightDownToTheLowestDepth()
    {
        var t13 = On(TracedHorse.Settled, LastOn)[1];

        Assert.Contains(new PointMm(0, 0), t13.Curve);
        Assert.Equal((150, 150), (t13.Curve[0].Y, t13.Curve[^1].Y));
        Assert.Equal(t13.Curve.OrderBy(point => point.X), t13.Curve);
        Assert.All(t13.Curve.Zip(t13.Curve.Skip(1)), step => Assert.InRange(Math.Abs(step.First.Y - step.Second.Y), .4, 5.001));
        Assert.Equal(t13.HalfWidths[^1].MeanMm, t13.Curve[^1].X, 1e-6);
        Assert.Equal(-t13.Curve[0].X, t13.Curve[^1].X, 1e-9);
    }

    [Fact]
    public void Band_ofBothSides_isHalfOfTheWidths()
    {
        var horse = new HorseTrends(TracedHorse.Settled, TrendModel.Shipped);
        var day = LastOn.AddDays(84);
        var half = ExpectedSection.AllOn(horse.Back, day)[1].HalfWidths[^1];
        Assert.True(horse.TryGet(Metric.Width(Station.Of(13), 150), out var trend));

        Assert.Equal((trend.On(day).Quantile(.1) / 2, trend.On(day).Quantile(.9) / 2), half.Band(.8));
        Assert.Equal(trend.On(day).Sd / 2, half.SdMm, 1e-12);
        Assert.True(half.SdMm > ExpectedSection.AllOn(horse.Back, LastOn)[1].HalfWidths[^1].SdMm, "Nothing is surer twelve weeks later.");
    }

    [Fact]
    public void AllOn_unevenHorseWithMarks_tellsLeftFromRight()
    {
        var uneven = TracedHorse.Settled with { Sessions = [.. Enumerable.Range(0, 6).Select(i => TracedHorse.Session($"s{i}", LastOn.AddDays(-28 * (5 - i)), asymmetryPct: 6))] };

        var t13 = On(uneven, LastOn)[1];

        Assert.True(t13.SidesAreKnown);
        var (left, right) = (t13.HalfWidths[^2], t13.HalfWidths[^1]);
        Assert.Equal((Side.Left, Side.Right), (left.Side, right.Side));
        Assert.Equal(6, 200 * (right.MeanMm - left.MeanMm) / (right.MeanMm + left.MeanMm), .3);
        Assert.Equal(6, new ProfileMetrics(t13.Section).AsymmetryPct(150), .3);
        Assert.Equal(right.MeanMm, t13.Curve[^1].X, 1e-6);
        Assert.Equal(left.MeanMm, -t13.Curve[0].X, 1e-6);
        // 80 % of a normal distribution lie within 1.2816 standard deviations.
        Assert.Equal(2 * 1.2816 * right.SdMm, right.Band(.8).HighMm - right.Band(.8).LowMm, 1e-3);
        Assert.True(right.SdMm > right.Width.Sd / 2, "The difference is not known for certain.");
    }

    [Fact]
    public void AllOn_twoWidths_isThePowerCurveThroughBoth()
    {
        var byWidths = Larkfield.Blank with { Sessions = [ByWidths("s1", (30, 120), (150, 300))] };

        var t13 = Assert.Single(On(byWidths, LastOn));

        Assert.Equal((SectionKind.ByWidths, null), (t13.Kind, t13.PositionMm));
        Assert.Equal([60, 150], t13.HalfWidths.Select(half => Math.Round(half.MeanMm, 9)));
        // Depth = 150 (s/150)^p through (60, 30): p = ln 5 / ln 2.5.
        var at75 = t13.Curve.Single(point => point is { X: > 0, Y: 75 });
        Assert.Equal(150 * Math.Pow(.5, Math.Log(2.5) / Math.Log(5)), at75.X, 1e-9);
    }

    [Fact]
    public void AllOn_oneWidthOnly_tellsNoSection() =>
        Assert.Empty(On(Larkfield.Blank with { Sessions = [ByWidths("s1", (150, 300))] }, LastOn));

    [Fact]
    public void AllOn_tracesTooShort_endWhereTheyEnd()
    {
        var shallow = Larkfield.Blank with { Sessions = [ByWidths("s1", (30, 120), (60, 180), (90, 226))] };

        var t13 = Assert.Single(On(shallow, LastOn));
        var metrics = new ProfileMetrics(t13.Section);

        Assert.Equal((SectionKind.Traced, 90), (t13.Kind, t13.Curve[^1].Y));
        Assert.True(double.IsNaN(metrics.WidthMm(150)) && double.IsNaN(metrics.ShapeRatio) && double.IsNaN(metrics.FillMm2));
        Assert.Equal(226, metrics.WidthMm(90), 1e-9);
    }

    private static IReadOnlyList<ExpectedSection> On(HorseFacts facts, DateOnly day) => ExpectedSection.AllOn(new HorseTrends(facts, TrendModel.Shipped).Back, day);

    private static SessionFact ByWidths(string id, params (int DepthMm, double WidthMm)[] widths) => new(
        id, LastOn, ExerciseState.Before, [.. widths.Select(width => new Reading(Metric.Width(Station.Of(13), width.DepthMm), width.WidthMm))]);

    private static double HalfOfT13(double depthMm) => 153 * Math.Pow(depthMm / 150, 1 / 1.75);

    // Between y = 150 (s/153)^1.75 and its chord from 0 to 120.
    private static double FillOfT13() => 150 * Math.Pow(120 / 153.0, 1.75) * 120 * (.5 - (1 / 2.75));

    private static double AngleOfT13()
    {
        double rise = 0, run = 0;
        for (var s = 40; s <= 110; s++)
        {
            rise += (s - 75) * 150 * Math.Pow(s / 153.0, 1.75);
            run += (s - 75) * (s - 75);
        }
        return double.RadiansToDegrees(Math.Atan(rise / run));
    }
}
