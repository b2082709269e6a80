using System.Diagnostics.CodeAnalysis;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Profiles;

/// <summary>A cleaned cross-section of a back, seen from behind.</summary>
/// <param name="Left">The horse's left side.</param>
/// <param name="Right">The horse's right side.</param>
/// <param name="Marks">What was marked on the paper.</param>
/// <param name="DepthShiftMm">Depth at which the drawing crossed the midline, mm, + = deeper than its own 0; taken out.</param>
/// <param name="RotationDeg">How far the right end of the level line lay lower than the left one, degrees; taken out.</param>
/// <param name="Warnings">What to notice about the drawing itself; <see cref="ProfileMetrics.Warnings"/> adds what follows for the metrics.</param>
public sealed record Section(
    TracedHalf Left,
    TracedHalf Right,
    TraceMarks Marks,
    double DepthShiftMm,
    double RotationDeg,
    IReadOnlyList<TraceWarning> Warnings)
{
    /// <summary>Steps longer than this are guessed rather than measured, mm.</summary>
    public const double LargestStepMm = 40;

    /// <summary>A level line tilted further than this was not level, degrees.</summary>
    public const double LargestRotationDeg = 20;

    private const int FewestPoints = 5;
    private const double NarrowestMm = 80;
    private const double NoticedShiftMm = 2;
    private const double SamePointMm = 1e-6;

    /// <summary>Whether left and right may be judged: the midline and a level line were marked.</summary>
    public bool IsMarked => Marks.AreComplete;

    /// <summary>How far apart the points lie across the back, mm: the step in which a random place of the trace lies, so that a hole counts for all it leaves out.</summary>
    public double SpacingMm
    {
        get
        {
            var (left, right) = (Left.Steps, Right.Steps);
            return (left.Squared + right.Squared) / (left.Length + right.Length);
        }
    }

    /// <summary>
    /// Reads a drawing: moved and turned by its marks, repeated points dropped, drawn from left to right, split where it crosses the midline
    /// with least depth, and depths taken from there.
    /// </summary>
    /// <param name="trace">Points in the order drawn: x lateral, + = the horse's right; y depth, + = down; mm.</param>
    /// <param name="marks">What was marked on the paper.</param>
    /// <param name="section">The section; null where it is false.</param>
    /// <param name="fault">What makes the drawing no section; without meaning where it is true.</param>
    public static bool TryRead(IReadOnlyList<PointMm> trace, TraceMarks marks, [NotNullWhen(true)] out Section? section, out TraceFault fault)
    {
        ArgumentNullException.ThrowIfNull(trace);
        section = null;
        var tiltDeg = marks.Level?.TiltDeg ?? 0;
        var points = WithoutRepeats(Straightened(trace, marks.Midline ?? default, tiltDeg));
        if (FaultOf(points, tiltDeg) is { } found)
        {
            fault = found;
            return false;
        }
        var isReversed = points[0].X > points[^1].X;
        if (isReversed)
            points.Reverse();
        var crossing = MidlineCrossing.Of(points);
        List<TraceWarning> warnings = [];
        if (Math.Abs(crossing.DepthMm) > NoticedShiftMm)
            warnings.Add(TraceWarning.DepthShifted);
        if (isReversed)
            warnings.Add(TraceWarning.Reversed);
        section = new Section(crossing.LeftOf(points), crossing.RightOf(points), marks, crossing.DepthMm, tiltDeg, warnings);
        fault = default;
        return true;
    }

    private static PointMm[] Straightened(IReadOnlyList<PointMm> trace, PointMm midline, double tiltDeg)
    {
        var (sin, cos) = Math.SinCos(double.DegreesToRadians(-tiltDeg));
        var straight = new PointMm[trace.Count];
        for (var i = 0; i < straight.Length; i++)
        {
            double x = trace[i].X - midline.X, y = trace[i].Y - midline.Y;
            straight[i] = new PointMm((cos * x) - (sin * y), (sin * x) + (cos * y));
        }
        return straight;
    }

    private static List<PointMm> WithoutRepeats(PointMm[] points)
    {
        var kept = new List<PointMm>(points.Length);
        foreach (var point in points)
        {
            // Not "<=": what is no number has to stay, to be refused.
            if (kept.Count == 0 || !(Distance(kept[^1], point) <= SamePointMm))
                kept.Add(point);
        }
        return kept;
    }

    private static TraceFault? FaultOf(List<PointMm> points, double tiltDeg)
    {
        if (Math.Abs(tiltDeg) > LargestRotationDeg)
            return TraceFault.RotationTooLarge;
        if (points.Exists(point => !double.IsFinite(point.X) || !double.IsFinite(point.Y)))
            return TraceFault.NotFinite;
        if (points.Count < FewestPoints)
            return TraceFault.TooFewPoints;
        double left = Math.Min(points[0].X, points[^1].X), right = Math.Max(points[0].X, points[^1].X);
        if (left >= 0 || right <= 0)
            return TraceFault.MidlineOutsideTrace;
        if (right - left < NarrowestMm)
            return TraceFault.UnitSuspect;
        for (var i = 1; i < points.Count; i++)
        {
            if (Distance(points[i - 1], points[i]) > LargestStepMm)
                return TraceFault.GapTooLarge;
        }
        return null;
    }

    private static double Distance(PointMm a, PointMm b) => double.Hypot(a.X - b.X, a.Y - b.Y);
}
