using BackTracker.Engine.Checks;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Fit;

/// <summary>
/// Tree against back by widths alone: tree width 150 mm below its middle less back width 150 mm below its midline, station by station.
/// It knows nothing of angle, clearance, bridging or contact.
/// </summary>
public static class WidthFit
{
    /// <summary>Depth at which tree and back are compared, mm.</summary>
    public const int DepthMm = 150;

    /// <summary>The numbers of a tree of a given width against a back that is forecast.</summary>
    /// <param name="treeWidthMm">Tree width, mm.</param>
    /// <param name="trend">Trend of the back's width.</param>
    /// <param name="limits">Limits of the mismatch.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="day">The day.</param>
    public static FindingNumbers Numbers(double treeWidthMm, MetricTrend trend, Limits limits, CheckPolicy policy, DateOnly day)
    {
        var back = trend.On(day);
        var apart = back.Widened(policy.TreeMeasureSdMm);
        var narrow = apart.ProbabilityAbove(treeWidthMm - limits.OutBelow);
        var wide = apart.ProbabilityBelow(treeWidthMm - limits.OutAbove);
        return new FindingNumbers(
            treeWidthMm - back.Mean, double.Hypot(back.Sd, policy.TreeMeasureSdMm), narrow, wide, policy.WithSurprise(narrow + wide, trend.Series.Points[^1].On, day))
        {
            Widths = new ComparedWidths(treeWidthMm, back.Mean, back.Sd),
        };
    }
}
