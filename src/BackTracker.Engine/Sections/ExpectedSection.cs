using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Sections;

/// <summary>How far from the midline a flank is expected at a depth.</summary>
/// <param name="DepthMm">Depth below the skin over the midline, mm.</param>
/// <param name="Side">The side; null for the mean of both.</param>
/// <param name="MeanMm">Expected half width, mm.</param>
/// <param name="SdMm">Its standard deviation, mm.</param>
/// <param name="Width">Forecast of the whole width, from which the bands come.</param>
public sealed record ExpectedHalfWidth(int DepthMm, Side? Side, double MeanMm, double SdMm, LevelForecast Width)
{
    /// <summary>
    /// The band that holds the half width with a probability. Of the mean of both sides it is half that of the width, exactly; of one side
    /// that of a normal distribution, since width and difference are two trends.
    /// </summary>
    /// <param name="cover">Probability strictly within 0..1.</param>
    public (double LowMm, double HighMm) Band(double cover)
    {
        if (Side is null)
            return (Width.Quantile((1 - cover) / 2) / 2, Width.Quantile((1 + cover) / 2) / 2);
        var arm = Normal.Quantile((1 + cover) / 2) * SdMm;
        return (MeanMm - arm, MeanMm + arm);
    }
}

/// <summary>The cross-section of a station as it is expected on a day.</summary>
/// <param name="Station">The station.</param>
/// <param name="Kind">From what it follows: half widths of traces, or two widths and a model.</param>
/// <param name="PositionMm">Where the station lies behind T8, mm; null where nobody measured it.</param>
/// <param name="HalfWidths">By depth, then left before right.</param>
/// <param name="Section">The section, for its numbers: marked where left and right can be told apart.</param>
/// <param name="Curve">The same for drawing, from left to right: places 5 mm of depth apart, closer at the top where a back is flat.</param>
public sealed record ExpectedSection(
    Station Station, SectionKind Kind, double? PositionMm, IReadOnlyList<ExpectedHalfWidth> HalfWidths, Section Section, IReadOnlyList<PointMm> Curve)
{
    private const double CurveStepMm = 5;
    private static readonly double[] TopDepthsMm = [.5, 1, 2, 3];

    /// <summary>Whether left and right can be told apart; otherwise both sides are the mean.</summary>
    public bool SidesAreKnown => Section.IsMarked;

    /// <summary>The sections of every station whose section can be told, front to rear.</summary>
    /// <param name="back">Trends of the back.</param>
    /// <param name="day">The day.</param>
    public static IReadOnlyList<ExpectedSection> AllOn(BackTrends back, DateOnly day)
    {
        ArgumentNullException.ThrowIfNull(back);
        return [.. back.Sections.Select(section => Of(back, section, day))];
    }

    /// <summary>The section of a station as a tree is laid on it: both sides the mean where left and right are not known at every station.</summary>
    internal static ExpectedSection UnderTree(BackTrends back, Station station, DateOnly day)
    {
        var section = back.Sections.First(section => section.Station == station);
        return Of(back, back.Outline.SidesAreKnown ? section : section with { Asymmetry = (-1, -1) }, day);
    }

    private static ExpectedSection Of(BackTrends back, SectionTrend section, DateOnly day)
    {
        var values = back.On(day).Means;
        var (left, right) = (Outline.HalfOf(section, values, section.SidesAreKnown ? -1 : 0), Outline.HalfOf(section, values, section.SidesAreKnown ? 1 : 0));
        double lowest = section.DepthsMm[^1];
        var marks = section.SidesAreKnown ? new TraceMarks(default(PointMm), new LevelLine(new(-1, 0), new(1, 0))) : default;
        return new ExpectedSection(
            section.Station, section.Kind,
            back.Outline.PositionsMm.TryGetValue(section.Station, out var position) ? position : null,
            [.. section.DepthsMm.SelectMany((_, i) => HalfWidthsAt(back, section, i, day))],
            new Section(Drawn(left, lowest), Drawn(right, lowest), marks, 0, 0, []),
            CurveOf(left, right, lowest));
    }

    private static IEnumerable<ExpectedHalfWidth> HalfWidthsAt(BackTrends back, SectionTrend section, int i, DateOnly day)
    {
        var depth = section.DepthsMm[i];
        var width = back.TrendOf(section.FirstWidth + i).On(day);
        if (!section.SidesAreKnown)
        {
            yield return new ExpectedHalfWidth(depth, null, width.Mean / 2, width.Sd / 2, width);
            yield break;
        }
        var state = back.On(day);
        var uneven = Outline.AsymmetryAt(section, state.Means, depth);
        // Both differences err together, so that between their depths the spread is as straight as the value.
        var unevenSd = Outline.AsymmetryAt(section, state.Sds, depth);
        foreach (var (side, sign) in new[] { (Side.Left, -1), (Side.Right, 1) })
        {
            var share = 1 + (sign * uneven / 200);
            yield return new ExpectedHalfWidth(depth, side, width.Mean / 2 * share, double.Hypot(width.Sd / 2 * share, width.Mean / 2 * unevenSd / 200), width);
        }
    }

    // As finely as anybody draws, so that angle and fill are read off as off a trace.
    private static TracedHalf Drawn(HalfSection half, double lowestMm)
    {
        var reach = half.OffsetAt(lowestMm);
        var inside = Enumerable.Range(1, Math.Max(0, (int)Math.Ceiling(reach) - 1)).Select(offset => new PointMm(offset, half.DepthAt(offset)));
        return new TracedHalf([.. inside, new PointMm(reach, lowestMm)]);
    }

    private static PointMm[] CurveOf(HalfSection left, HalfSection right, double lowestMm)
    {
        double[] depths = [.. TopDepthsMm, .. Enumerable.Range(1, (int)Math.Ceiling(lowestMm / CurveStepMm) - 1).Select(step => step * CurveStepMm), lowestMm];
        return
        [
            .. depths.Reverse().Select(depth => new PointMm(-left.OffsetAt(depth), depth)),
            new PointMm(0, 0),
            .. depths.Select(depth => new PointMm(right.OffsetAt(depth), depth)),
        ];
    }
}
