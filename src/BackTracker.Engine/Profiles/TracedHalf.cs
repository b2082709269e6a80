using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Profiles;

/// <summary>
/// One side of a trace: a polyline from (0,0) outwards, whose offsets may go back, or below 0, in loops and where the pen was set back.
/// Every reading is the place met first along the line from the midline.
/// </summary>
public sealed class TracedHalf : HalfSection
{
    private readonly double[] _offsets;
    private readonly double[] _depths;
    private readonly double[] _reach;
    private readonly double[] _sunk;

    /// <summary>The side through points in the order drawn from the midline outwards; (0,0) goes before them.</summary>
    /// <param name="outwards">Offset from the midline (+ = outwards) and depth below the skin over the midline, mm, finite.</param>
    /// <exception cref="ArgumentException">A coordinate is not finite.</exception>
    public TracedHalf(IReadOnlyList<PointMm> outwards)
    {
        ArgumentNullException.ThrowIfNull(outwards);
        var count = outwards.Count + 1;
        (_offsets, _depths, _reach, _sunk) = (new double[count], new double[count], new double[count], new double[count]);
        for (var i = 1; i < count; i++)
        {
            var (offset, depth) = outwards[i - 1];
            if (!double.IsFinite(offset) || !double.IsFinite(depth))
                throw new ArgumentException($"Point {i - 1} is not finite.", nameof(outwards));
            (_offsets[i], _depths[i]) = (offset, depth);
            (_reach[i], _sunk[i]) = (Math.Max(_reach[i - 1], offset), Math.Max(_sunk[i - 1], depth));
        }
    }

    /// <summary>How far from the midline it reaches, mm.</summary>
    public double ReachMm => _reach[^1];

    /// <summary>How far below the skin over the midline it reaches, mm.</summary>
    public double DepthReachedMm => _sunk[^1];

    /// <summary>Corners of the line, the midline point (0,0) first.</summary>
    public IReadOnlyList<PointMm> Points => [.. _offsets.Zip(_depths, (offset, depth) => new PointMm(offset, depth))];

    internal ReadOnlySpan<double> Offsets => _offsets;

    internal ReadOnlySpan<double> Depths => _depths;

    /// <summary>Sums of the steps across the back and of their squares.</summary>
    internal (double Length, double Squared) Steps
    {
        get
        {
            double length = 0, squared = 0;
            for (var i = 1; i < _offsets.Length; i++)
            {
                var step = Math.Abs(_offsets[i] - _offsets[i - 1]);
                (length, squared) = (length + step, squared + (step * step));
            }
            return (length, squared);
        }
    }

    /// <inheritdoc />
    public override double DepthAt(double offsetMm) => ArrivalAt(_offsets, _depths, FirstAtLeast(_reach, offsetMm), offsetMm);

    /// <inheritdoc />
    public override double OffsetAt(double depthMm) =>
        ArrivalAt(_depths, _offsets, depthMm >= 0 ? FirstAtLeast(_sunk, depthMm) : Array.FindIndex(_depths, depth => depth <= depthMm), depthMm);

    /// <summary>How far apart the places lie at which the line passes a depth, mm; 0 where it passes once or not at all.</summary>
    /// <param name="depthMm">Depth below the skin over the midline, mm.</param>
    public double SpreadAt(double depthMm)
    {
        double least = double.PositiveInfinity, most = double.NegativeInfinity;
        for (var i = 1; i < _depths.Length; i++)
        {
            if ((_depths[i - 1] - depthMm) * (_depths[i] - depthMm) > 0)
                continue;
            // A piece along that very depth passes it at both of its ends.
            var (enters, leaves) = _depths[i - 1] == _depths[i] ? (_offsets[i - 1], _offsets[i]) : (At(_depths, _offsets, i, depthMm), double.NaN);
            least = double.MinNumber(least, double.MinNumber(enters, leaves));
            most = double.MaxNumber(most, double.MaxNumber(enters, leaves));
        }
        return most > least ? most - least : 0;
    }

    /// <summary>
    /// Area between the line and the chord from the midline point to where the line first meets an offset, mm2; + where the line lies above
    /// the chord (a bulging flank), NaN where it does not reach. Shoelace formula.
    /// </summary>
    /// <param name="offsetMm">Where the chord ends, mm from the midline, above 0.</param>
    public double AreaOverChord(double offsetMm)
    {
        var end = FirstAtLeast(_reach, offsetMm);
        if (end < 1)
            return double.NaN;
        var twice = 0.0;
        for (var i = 1; i < end; i++)
            twice += (_offsets[i - 1] * _depths[i]) - (_offsets[i] * _depths[i - 1]);
        // The chord starts at (0,0) and adds nothing.
        return (twice + (_offsets[end - 1] * At(_offsets, _depths, end, offsetMm)) - (offsetMm * _depths[end - 1])) / 2;
    }

    private static double ArrivalAt(double[] along, double[] across, int end, double value) => end switch
    {
        < 0 => double.NaN,
        0 => 0,
        _ => At(along, across, end, value),
    };

    private static double At(double[] along, double[] across, int end, double value) =>
        across[end - 1] + ((across[end] - across[end - 1]) * ((value - along[end - 1]) / (along[end] - along[end - 1])));

    // The highest so far never falls, so that the first arrival is found by halving.
    private static int FirstAtLeast(double[] highestSoFar, double value)
    {
        if (!(value >= 0 && value <= highestSoFar[^1]))
            return -1;
        int low = 0, high = highestSoFar.Length - 1;
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (highestSoFar[middle] >= value)
                high = middle;
            else
                low = middle + 1;
        }
        return low;
    }
}
