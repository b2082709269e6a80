using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Commissions;

/// <summary>What a difference between the tree that came and the tree that was ordered asks for, mildest first.</summary>
public enum OrderVerdict
{
    /// <summary>As ordered, as far as a tree can be measured.</summary>
    Accept,

    /// <summary>Wider than ordered by what flocking takes up.</summary>
    WithinFlocking,

    /// <summary>The tree has to be altered before it goes on.</summary>
    Alter,

    /// <summary>A whole fitting or more off: send it back.</summary>
    Refuse,
}

/// <summary>What is compared between the two trees.</summary>
public enum OrderMeasure
{
    /// <summary>Width of a tree known by widths, 150 mm below the middle, mm; + = wider than ordered.</summary>
    Width150,

    /// <summary>Width over the outer edges of both bearing surfaces, mm; + = wider than ordered.</summary>
    OuterWidth,

    /// <summary>Width of the channel, mm; + = wider than ordered.</summary>
    Channel,

    /// <summary>Slope of a bearing surface from its inner to its outer edge, degrees; + = steeper (narrower) than ordered.</summary>
    Angle,

    /// <summary>Left less right of the tree that came: from the middle to the outer edge, mm.</summary>
    LeftRightReach,

    /// <summary>Left less right of the tree that came: slope, degrees.</summary>
    LeftRightAngle,
}

/// <summary>One difference.</summary>
/// <param name="Measure">What was compared.</param>
/// <param name="FromFrontMm">Where, mm behind the tree's front edge; null for a tree known by widths.</param>
/// <param name="Station">Where, for a tree known by widths.</param>
/// <param name="Side">On which side; null where it is of both.</param>
/// <param name="Difference">Came less ordered, or left less right; in mm or degrees.</param>
/// <param name="Verdict">What it asks for.</param>
public readonly record struct OrderDifference(OrderMeasure Measure, double? FromFrontMm, Station? Station, Side? Side, double Difference, OrderVerdict Verdict)
{
    /// <summary>"mm" or "deg".</summary>
    public string Unit => Measure is OrderMeasure.Angle or OrderMeasure.LeftRightAngle ? "deg" : "mm";
}

/// <summary>Limits of the comparison.</summary>
/// <param name="AcceptMm">As ordered within, mm: what measuring a tree twice leaves (common practice, no source).</param>
/// <param name="AcceptDeg">As ordered within, degrees (common practice, no source).</param>
/// <param name="FlockingMm">Most that flocking takes up where the tree came wider, mm.</param>
/// <param name="RefuseMm">Refused from, mm: one fitting is 2 cm across the points (Meschan, Peham, Schobesberger and Licka 2007, Vet J 173:578-584).</param>
/// <param name="RefuseDeg">Refused from, degrees: that fitting on an arm of 15 cm.</param>
public readonly record struct OrderLimits(double AcceptMm, double AcceptDeg, double FlockingMm, double RefuseMm, double RefuseDeg)
{
    /// <summary>The usual limits.</summary>
    public static OrderLimits Usual { get; } = new(4, 1.5, 10, 20, 10);
}

/// <summary>
/// The tree that came against the tree that was ordered. Padding never cures a narrow tree, so what came narrower than ordered is never left to
/// the flocking; nor is an uneven tree, whose panels would have to be made unequal.
/// </summary>
public static class TreeAgainstOrder
{
    /// <summary>Every difference, from front to rear; empty where the two were recorded in different ways and cannot be compared.</summary>
    /// <param name="ordered">The tree that was ordered.</param>
    /// <param name="came">The tree that came, as measured.</param>
    /// <param name="limits">Limits.</param>
    public static IReadOnlyList<OrderDifference> Compare(TreeShapeFact ordered, TreeShapeFact came, OrderLimits limits)
    {
        ArgumentNullException.ThrowIfNull(ordered);
        ArgumentNullException.ThrowIfNull(came);
        return came.Stations.Count > 0 ? [.. BySides(ordered, came, limits)] : [.. ByWidths(ordered, came, limits)];
    }

    /// <summary>The verdict on the whole tree: that of its worst difference.</summary>
    public static OrderVerdict Verdict(IReadOnlyList<OrderDifference> differences) =>
        differences.Count == 0 ? throw new ArgumentException("Nothing was compared.", nameof(differences)) : differences.Max(difference => difference.Verdict);

    /// <summary>A difference in words.</summary>
    public static string Say(in OrderDifference difference)
    {
        var where = difference.Station is { } station ? $"at {station}" : string.Create(CultureInfo.InvariantCulture, $"{difference.FromFrontMm:0} mm behind the front edge");
        var side = difference.Side is { } one ? $"{one} side, " : "";
        var size = string.Create(CultureInfo.InvariantCulture, $"{Math.Abs(difference.Difference):0.#} {(difference.Unit == "deg" ? "degrees" : "mm")}");
        return $"{side}{where}: {size} {Direction(difference)}.";
    }

    private static string Direction(in OrderDifference difference) => (difference.Measure, difference.Difference > 0) switch
    {
        (OrderMeasure.Angle, true) => "steeper than ordered",
        (OrderMeasure.Angle, false) => "flatter than ordered",
        (OrderMeasure.Channel, true) => "wider in the channel than ordered",
        (OrderMeasure.Channel, false) => "narrower in the channel than ordered",
        (OrderMeasure.LeftRightReach, true) => "further out on the left than on the right",
        (OrderMeasure.LeftRightReach, false) => "further out on the right than on the left",
        (OrderMeasure.LeftRightAngle, true) => "steeper on the left than on the right",
        (OrderMeasure.LeftRightAngle, false) => "steeper on the right than on the left",
        (_, true) => "wider than ordered",
        _ => "narrower than ordered",
    };

    private static IEnumerable<OrderDifference> ByWidths(TreeShapeFact ordered, TreeShapeFact came, OrderLimits limits) =>
        from width in came.Widths.OrderBy(width => width.Station)
        join wanted in ordered.Widths on width.Station equals wanted.Station
        let off = width.Width150Mm - wanted.Width150Mm
        select new OrderDifference(OrderMeasure.Width150, null, width.Station, null, off, OfWidth(off, limits));

    private static IEnumerable<OrderDifference> BySides(TreeShapeFact ordered, TreeShapeFact came, OrderLimits limits)
    {
        if (ordered.Stations.Count < 2 || came.Stations.Count < 2)
            yield break;
        var (wanted, made) = (new TreeShape(ordered.Stations), new TreeShape(came.Stations));
        foreach (var station in came.Stations.Where(station => station.PositionMm >= wanted.FrontMm && station.PositionMm <= wanted.RearMm))
        {
            var (left, right) = Edges.Of(made, station.PositionMm);
            var (wantedLeft, wantedRight) = Edges.Of(wanted, station.PositionMm);
            yield return At(OrderMeasure.OuterWidth, null, left.OuterMm + right.OuterMm - wantedLeft.OuterMm - wantedRight.OuterMm, OfWidth);
            yield return At(OrderMeasure.Channel, null, left.InnerMm + right.InnerMm - wantedLeft.InnerMm - wantedRight.InnerMm, OfChannel);
            yield return At(OrderMeasure.Angle, Side.Left, left.AngleDeg - wantedLeft.AngleDeg, OfAngle);
            yield return At(OrderMeasure.Angle, Side.Right, right.AngleDeg - wantedRight.AngleDeg, OfAngle);
            yield return At(OrderMeasure.LeftRightReach, null, left.OuterMm - right.OuterMm, (off, l) => Even(off, l.AcceptMm, l.RefuseMm));
            yield return At(OrderMeasure.LeftRightAngle, null, left.AngleDeg - right.AngleDeg, (off, l) => Even(off, l.AcceptDeg, l.RefuseDeg));

            OrderDifference At(OrderMeasure measure, Side? side, double off, Func<double, OrderLimits, OrderVerdict> verdict) =>
                new(measure, station.PositionMm, null, side, off, verdict(off, limits));
        }
    }

    private static OrderVerdict OfWidth(double offMm, OrderLimits limits) => Math.Abs(offMm) switch
    {
        var size when size >= limits.RefuseMm => OrderVerdict.Refuse,
        var size when size <= limits.AcceptMm => OrderVerdict.Accept,
        var size when offMm > 0 && size <= limits.FlockingMm => OrderVerdict.WithinFlocking,
        _ => OrderVerdict.Alter,
    };

    // A channel never closes by flocking, and one that came wider loses bearing surface rather than fit.
    private static OrderVerdict OfChannel(double offMm, OrderLimits limits) => Even(offMm, limits.AcceptMm, limits.RefuseMm);

    private static OrderVerdict OfAngle(double offDeg, OrderLimits limits) => Even(offDeg, limits.AcceptDeg, limits.RefuseDeg);

    private static OrderVerdict Even(double off, double accept, double refuse) =>
        Math.Abs(off) <= accept ? OrderVerdict.Accept : Math.Abs(off) < refuse ? OrderVerdict.Alter : OrderVerdict.Refuse;

    /// <summary>The two edges of a bearing surface.</summary>
    private readonly record struct Edges(double InnerMm, double OuterMm, double AngleDeg)
    {
        public static (Edges Left, Edges Right) Of(TreeShape tree, double positionMm) => (Of(tree, Side.Left, positionMm), Of(tree, Side.Right, positionMm));

        private static Edges Of(TreeShape tree, Side side, double positionMm)
        {
            var cut = tree.CutAt(side, positionMm);
            var drop = cut.Face(1, thicknessMm: 0).Y - cut.InnerDepthMm;
            return new Edges(cut.ChannelHalfMm, cut.ChannelHalfMm + cut.BearingMm, double.RadiansToDegrees(Math.Atan2(drop, cut.BearingMm)));
        }
    }
}
