using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Service.Features.Measurements;

/// <summary>What a cross-section tells; what it does not reach is left out, and without both marks so is what compares left and right.</summary>
internal static class SectionReadings
{
    private static readonly int[] WidthDepthsMm = [30, 60, 90, 120, 150];
    private static readonly int[] SideDepthsMm = [ProfileMetrics.UpperDepthMm, ProfileMetrics.LowerDepthMm];

    public static IEnumerable<Reading> Of(Station station, Section section)
    {
        var metrics = new ProfileMetrics(section);
        var all = section.IsMarked ? Whole(station, metrics).Concat(Sides(station, metrics)) : Whole(station, metrics);
        return all.Where(reading => double.IsFinite(reading.Value));
    }

    private static IEnumerable<Reading> Whole(Station station, ProfileMetrics metrics)
    {
        foreach (var depth in WidthDepthsMm)
            yield return new Reading(Metric.Width(station, depth), metrics.WidthMm(depth));
        yield return new Reading(new Metric(Quantity.ShapeRatio, station), metrics.ShapeRatio);
        yield return new Reading(new Metric(Quantity.Angle, station), metrics.AngleDeg);
        yield return new Reading(new Metric(Quantity.Fill, station), metrics.FillMm2);
    }

    private static IEnumerable<Reading> Sides(Station station, ProfileMetrics metrics)
    {
        foreach (var depth in SideDepthsMm)
        {
            yield return new Reading(new Metric(Quantity.HalfLeft, station, depth), metrics.HalfLeftMm(depth));
            yield return new Reading(new Metric(Quantity.HalfRight, station, depth), metrics.HalfRightMm(depth));
            yield return new Reading(new Metric(Quantity.Asymmetry, station, depth), metrics.AsymmetryPct(depth));
        }
        yield return new Reading(new Metric(Quantity.AngleLeft, station), metrics.AngleLeftDeg);
        yield return new Reading(new Metric(Quantity.AngleRight, station), metrics.AngleRightDeg);
        yield return new Reading(new Metric(Quantity.FillLeft, station), metrics.FillLeftMm2);
        yield return new Reading(new Metric(Quantity.FillRight, station), metrics.FillRightMm2);
    }
}
