using BackTracker.Engine.Assessments;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Sections;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Measurements;

namespace BackTracker.Service.Features.Profiles;

/// <summary>How far from the midline a flank is expected at a depth.</summary>
/// <param name="DepthMm">Depth below the skin over the midline.</param>
/// <param name="Side">Left or right; null for the mean of both, where they cannot be told apart.</param>
/// <param name="HalfMm">Expected half width.</param>
/// <param name="SdMm">Its standard deviation.</param>
/// <param name="Band50">Low and high end of the band that holds it with 50 %.</param>
/// <param name="Band80">The same for 80 %.</param>
/// <param name="Band95">The same for 95 %.</param>
public sealed record HalfWidthAnswer(
    int DepthMm, Side? Side, double HalfMm, double SdMm, IReadOnlyList<double> Band50, IReadOnlyList<double> Band80, IReadOnlyList<double> Band95)
{
    public static HalfWidthAnswer Of(ExpectedHalfWidth half) =>
        new(half.DepthMm, half.Side, Round(half.MeanMm), Round(half.SdMm), Band(half, .5), Band(half, .8), Band(half, .95));

    private static double[] Band(ExpectedHalfWidth half, double cover)
    {
        var (low, high) = half.Band(cover);
        return [Round(low), Round(high)];
    }

    private static double Round(double mm) => Math.Round(mm, 3);
}

/// <summary>The cross-section expected on the day.</summary>
/// <param name="Kind">traced, or by-widths: a curve through two measured widths, a model of the back and not the back.</param>
/// <param name="SidesKnown">Whether left and right can be told apart; otherwise both sides are the mean.</param>
/// <param name="Text">What it rests on, in words.</param>
/// <param name="HalfWidths">What is trended: half widths by depth with their bands.</param>
/// <param name="Points">The curve from left to right, [x mm, y mm]: x + = the horse's right, y = depth below the skin over the midline.</param>
/// <param name="Values">Widths, angle, shape and muscle fill read off the curve, as far as it reaches. The trend of each alone: GET .../trends.</param>
public sealed record ExpectedAnswer(
    SectionKind Kind, bool SidesKnown, string Text, IReadOnlyList<HalfWidthAnswer> HalfWidths, IReadOnlyList<IReadOnlyList<double>> Points,
    IReadOnlyList<DerivedValue> Values)
{
    public static ExpectedAnswer Of(ExpectedSection section) => new(
        section.Kind, section.SidesAreKnown, ProfileWords.Basis(section), [.. section.HalfWidths.Select(HalfWidthAnswer.Of)],
        [.. section.Curve.Select(ProfilesAnswer.Pair)],
        [.. SectionReadings.Of(section.Station, section.Section).Select(reading => DerivedValue.Of(reading.Metric, reading.Value))]);
}

/// <summary>The last session at a station, as it was drawn.</summary>
/// <param name="MeasurementId">The measurement.</param>
/// <param name="On">Its day.</param>
/// <param name="Repeats">How many traces there are; 0 where widths alone were measured.</param>
/// <param name="Points">Their mean curve from left to right, [x mm, y mm], one point a degree from a place 120 mm below the midline.</param>
/// <param name="SdMm">Standard deviation of the repeats at each point, along its ray; null from a single trace.</param>
/// <param name="Values">Means of the session's values.</param>
/// <param name="Advice">What is to be noticed about the traces. A shift or turn of the drawing is named and never taken out.</param>
public sealed record LastSectionAnswer(
    string MeasurementId, DateOnly On, int Repeats, IReadOnlyList<IReadOnlyList<double>> Points, IReadOnlyList<double>? SdMm,
    IReadOnlyList<DerivedValue> Values, IReadOnlyList<Advice> Advice);

/// <summary>A station of the back.</summary>
/// <param name="Station">The station.</param>
/// <param name="PositionMm">Where it lies behind T8; null where nobody measured it.</param>
/// <param name="Expected">The section expected on the day; null where too little was measured.</param>
/// <param name="Last">The last session there that counts for the trend.</param>
public sealed record ProfileAnswer(string Station, double? PositionMm, ExpectedAnswer? Expected, LastSectionAnswer Last);

/// <summary>How the topline sags.</summary>
/// <param name="DipMm">Expected dip on the day: greatest distance below a string laid over the back.</param>
/// <param name="SdMm">Its standard deviation.</param>
/// <param name="Band80">Low and high end of the band that holds it with 80 %.</param>
/// <param name="DeepestAtMm">Where it is deepest, behind T8, as it was traced last.</param>
/// <param name="Near">The station nearest to that, among those whose place is known.</param>
/// <param name="LastTracedOn">Day on which the topline was traced last.</param>
/// <param name="Text">In words.</param>
public sealed record ToplineAnswer(
    double DipMm, double SdMm, IReadOnlyList<double> Band80, double DeepestAtMm, string? Near, DateOnly LastTracedOn, string Text);

/// <summary>The cross-sections of a back on a day.</summary>
/// <param name="AsOf">The day known: nothing that happened later was looked at.</param>
/// <param name="On">The day the sections are expected on; a forecast where it is later than the day known.</param>
/// <param name="Items">One a station, front to rear.</param>
/// <param name="Topline">The topline; null where it was never traced.</param>
/// <param name="Missing">Which measurements would bring what is not known.</param>
public sealed record ProfilesAnswer(
    DateOnly AsOf, DateOnly On, IReadOnlyList<ProfileAnswer> Items, ToplineAnswer? Topline, IReadOnlyList<string> Missing)
{
    /// <summary>A point as it is drawn: hundredths of a millimetre are more than enough.</summary>
    public static IReadOnlyList<double> Pair(Engine.Measures.PointMm point) => [Math.Round(point.X, 2), Math.Round(point.Y, 2)];

    public static ToplineAnswer ToplineOf(MetricTrend dip, Topline last, DateOnly lastOn, string? near, DateOnly on)
    {
        var level = dip.On(on);
        return new(
            Math.Round(level.Mean, 3), Math.Round(level.Sd, 3), [Math.Round(level.Quantile(.1), 3), Math.Round(level.Quantile(.9), 3)], Math.Round(last.DeepestAtMm, 1),
            near, lastOn, ProfileWords.Dip(level.Mean, level.Sd, last.DeepestAtMm, near, lastOn));
    }
}
