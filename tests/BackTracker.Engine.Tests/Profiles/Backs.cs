using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using CsCheck;

namespace BackTracker.Engine.Tests.Profiles;

/// <summary>Invented backs of known shape, and what a crooked paper makes of them.</summary>
internal static class Backs
{
    /// <summary>Traces of an uneven back with wobbles of the pen: steps back, and points above the midline point, among them.</summary>
    public static readonly Gen<PointMm[]> Drawn =
        from left in Gen.Double[45, 90]
        from right in Gen.Double[45, 90]
        from deep in Gen.Double[1.3, 2.2]
        from wobble in Gen.Select(Gen.Double[-4, 4], Gen.Double[-4, 4]).Array[81]
        select (PointMm[])[.. Enumerable.Range(-40, 81).Select(i => new PointMm(
            (4 * i) + wobble[i + 40].Item1, (30 * Math.Pow(Math.Abs(4 * i) / (i < 0 ? left : right), deep)) + wobble[i + 40].Item2))];

    /// <summary>A curve read off at x = -reach, ... reach.</summary>
    public static PointMm[] Even(Func<double, double> depthAt, double spacing = 5, double reach = 170)
    {
        var steps = (int)(reach / spacing);
        return [.. Enumerable.Range(-steps, (2 * steps) + 1).Select(i => new PointMm(i * spacing, depthAt(Math.Abs(i * spacing))))];
    }

    /// <summary>y through (half30, 30) and (half150, 150).</summary>
    public static PointMm[] Power(double half30, double half150, double spacing = 5) =>
        Even(s => 30 * Math.Pow(s / half30, Math.Log(5) / Math.Log(half150 / half30)), spacing);

    public static PointMm[] Roof(double deg, double spacing = 5) => Even(s => s * Math.Tan(double.DegreesToRadians(deg)), spacing);

    /// <summary>A circle with corners a whole number of degrees apart.</summary>
    public static PointMm[] Circle(double radius, int stepDeg = 1, int reachDeg = 84) =>
    [
        .. Enumerable.Range(-reachDeg / stepDeg, (2 * (reachDeg / stepDeg)) + 1).Select(i => double.DegreesToRadians(i * stepDeg))
            .Select(angle => new PointMm(radius * Math.Sin(angle), radius * (1 - Math.Cos(angle)))),
    ];

    /// <summary>Turned about the midline point, + = right side down, then moved.</summary>
    public static PointMm[] Moved(this IEnumerable<PointMm> points, double turnDeg, double shiftMm, double sinkMm = 0) =>
        [.. points.Select(point => Move(point, turnDeg, shiftMm, sinkMm))];

    public static PointMm Move(PointMm point, double turnDeg, double shiftMm, double sinkMm)
    {
        var (sin, cos) = Math.SinCos(double.DegreesToRadians(turnDeg));
        return new PointMm((cos * point.X) - (sin * point.Y) + shiftMm, (sin * point.X) + (cos * point.Y) + sinkMm);
    }

    public static Section Read(IReadOnlyList<PointMm> trace, TraceMarks marks = default)
    {
        Assert.True(Section.TryRead(trace, marks, out var section, out var fault), fault.ToString());
        return section;
    }

    public static TraceFault FaultOf(IReadOnlyList<PointMm> trace, TraceMarks marks = default)
    {
        Assert.False(Section.TryRead(trace, marks, out var section, out var fault));
        Assert.Null(section);
        return fault;
    }

    public static ProfileMetrics Measure(IReadOnlyList<PointMm> trace, TraceMarks marks = default) => new(Read(trace, marks));

    /// <summary>Every number of a section: what belongs to the left, what to the right.</summary>
    public static (double[] Left, double[] Right) Numbers(ProfileMetrics metrics)
    {
        double[] depths = [20, 30, 75, 150];
        return ([.. depths.Select(metrics.HalfLeftMm), metrics.AngleLeftDeg, metrics.FillLeftMm2], [.. depths.Select(metrics.HalfRightMm), metrics.AngleRightDeg, metrics.FillRightMm2]);
    }

    public static void AssertSame(double[] expected, double[] actual, double relative)
    {
        Assert.Equal(expected.Length, actual.Length);
        for (var i = 0; i < expected.Length; i++)
            Assert.True(
                (double.IsNaN(expected[i]) && double.IsNaN(actual[i])) || Math.Abs(expected[i] - actual[i]) <= relative * (100 + Math.Abs(expected[i])),
                $"entry {i}: {actual[i]:R} instead of {expected[i]:R}");
    }
}
