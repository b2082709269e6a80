using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Profiles;

/// <summary>
/// The mean of repeated traces, along rays from a point 120 mm below the midline: for drawing and for holding a tree against it. The metrics
/// of a session are the mean of the single traces' metrics, which is another number.
/// Rays were chosen over offsets and arc lengths because they lose no reach and agree best with the mean of the single widths.
/// </summary>
public sealed class PolarMean
{
    /// <summary>Depth of the point the rays start from, mm.</summary>
    public const double CentreDepthMm = 120;

    private const int LargestThetaDeg = 130;
    private readonly bool _isMarked;

    private PolarMean(int firstThetaDeg, IReadOnlyList<PointMm> points, IReadOnlyList<double> sdMm, bool isMarked) =>
        (FirstThetaDeg, Points, SdMm, _isMarked) = (firstThetaDeg, points, sdMm, isMarked);

    /// <summary>Direction of the first ray, whole degrees from straight up, - = to the horse's left. One ray a degree.</summary>
    public int FirstThetaDeg { get; }

    /// <summary>Direction of the last ray, degrees.</summary>
    public int LastThetaDeg => FirstThetaDeg + Points.Count - 1;

    /// <summary>The mean curve from left to right: x lateral, y depth, mm.</summary>
    public IReadOnlyList<PointMm> Points { get; }

    /// <summary>Standard deviation of the radius on each ray over the repeats, mm, n - 1; NaN from a single trace.</summary>
    public IReadOnlyList<double> SdMm { get; }

    /// <summary>Mean of the repeats over the unbroken run of rays around straight up that every repeat has.</summary>
    /// <param name="repeats">At least one section of the same place.</param>
    /// <exception cref="ArgumentException">There is none.</exception>
    public static PolarMean Of(IReadOnlyList<Section> repeats)
    {
        ArgumentNullException.ThrowIfNull(repeats);
        if (repeats.Count == 0)
            throw new ArgumentException("A mean needs at least one section.", nameof(repeats));
        var rays = new LinkedList<(PointMm Point, double Sd)>();
        rays.AddFirst(Ray(repeats, 0)!.Value);
        var first = 0;
        for (; first > -LargestThetaDeg && Ray(repeats, first - 1) is { } ray; first--)
            rays.AddFirst(ray);
        for (var theta = 1; theta <= LargestThetaDeg && Ray(repeats, theta) is { } ray; theta++)
            rays.AddLast(ray);
        return new PolarMean(first, [.. rays.Select(ray => ray.Point)], [.. rays.Select(ray => ray.Sd)], repeats.All(section => section.IsMarked));
    }

    /// <summary>The mean curve moved outwards along its rays by so many standard deviations of the repeats, mm; itself from a single trace.</summary>
    /// <param name="sds">How many; - moves it inwards.</param>
    public IReadOnlyList<PointMm> Edge(double sds) => [.. Points.Select((point, i) => double.IsNaN(SdMm[i]) ? point : Moved(point, FirstThetaDeg + i, sds * SdMm[i]))];

    private static PointMm Moved(PointMm point, int thetaDeg, double mm)
    {
        var (sin, cos) = Math.SinCos(double.DegreesToRadians(thetaDeg));
        return new PointMm(point.X + (mm * sin), point.Y - (mm * cos));
    }

    /// <summary>The mean curve as a section; marked where every repeat was.</summary>
    public Section ToSection()
    {
        var middle = -FirstThetaDeg;
        PointMm[] left = [.. Points.Take(middle).Reverse().Select(point => point with { X = -point.X })], right = [.. Points.Skip(middle + 1)];
        var marks = _isMarked ? new TraceMarks(default(PointMm), new LevelLine(new(-1, 0), new(1, 0))) : default;
        return new Section(new TracedHalf(left), new TracedHalf(right), marks, 0, 0, []);
    }

    private static (PointMm Point, double Sd)? Ray(IReadOnlyList<Section> repeats, int thetaDeg)
    {
        var (sin, cos) = Math.SinCos(double.DegreesToRadians(Math.Abs(thetaDeg)));
        var radii = new double[repeats.Count];
        for (var i = 0; i < radii.Length; i++)
        {
            radii[i] = Radius(thetaDeg < 0 ? repeats[i].Left : repeats[i].Right, sin, cos);
            if (double.IsNaN(radii[i]))
                return null;
        }
        var mean = radii.Average();
        var sd = radii.Length > 1 ? Math.Sqrt(radii.Sum(radius => (radius - mean) * (radius - mean)) / (radii.Length - 1)) : double.NaN;
        return (new PointMm(Math.CopySign(mean * sin, thetaDeg), CentreDepthMm - (mean * cos)), sd);
    }

    // Distance along the ray to where the line first meets it.
    private static double Radius(TracedHalf half, double sin, double cos)
    {
        ReadOnlySpan<double> offsets = half.Offsets, depths = half.Depths;
        for (var i = 1; i < offsets.Length; i++)
        {
            double from = Beside(offsets[i - 1], depths[i - 1]), to = Beside(offsets[i], depths[i]);
            if (from * to > 0)
                continue;
            var share = from == to ? 0 : from / (from - to);
            var radius = double.Lerp(Along(offsets[i - 1], depths[i - 1]), Along(offsets[i], depths[i]), share);
            if (radius >= 0)
                return radius;
        }
        return double.NaN;

        double Beside(double offset, double depth) => (offset * cos) - ((CentreDepthMm - depth) * sin);
        double Along(double offset, double depth) => (offset * sin) + ((CentreDepthMm - depth) * cos);
    }
}
