namespace BackTracker.Engine.Numerics;

/// <summary>
/// Monotone piecewise cubic through points, constant outside them: the three-point slopes of Fritsch and Butland 1984 (SIAM J Sci Stat
/// Comput 5:300; from memory), with one-sided slopes at the ends that keep the shape. Two points give a straight line.
/// </summary>
public sealed class MonotoneCubic
{
    private readonly double[] x;
    private readonly double[] y;
    private readonly Piece[] pieces;

    /// <summary>The curve through the points.</summary>
    /// <param name="x">Strictly increasing.</param>
    /// <param name="y">As many values.</param>
    /// <exception cref="ArgumentException">No point, unequal lengths, or x does not increase.</exception>
    public MonotoneCubic(double[] x, double[] y)
    {
        ArgumentNullException.ThrowIfNull(x);
        ArgumentNullException.ThrowIfNull(y);
        if (x.Length == 0 || x.Length != y.Length)
            throw new ArgumentException("A curve needs as many values as places, and at least one.", nameof(y));
        for (var i = 1; i < x.Length; i++)
        {
            if (!(x[i] > x[i - 1]))
                throw new ArgumentException("The places of a curve have to increase.", nameof(x));
        }
        (this.x, this.y, pieces) = (x, y, new Piece[x.Length - 1]);
        var slope = SlopeAt(x, y, 0);
        for (var i = 0; i < pieces.Length; i++)
        {
            var next = SlopeAt(x, y, i + 1);
            (pieces[i], slope) = (Piece.Between(x[i], x[i + 1], y[i], y[i + 1], slope, next), next);
        }
    }

    /// <summary>First place.</summary>
    public double First => x[0];

    /// <summary>Last place.</summary>
    public double Last => x[^1];

    /// <summary>The value at a place; beyond the ends the value of the end.</summary>
    public double At(double at)
    {
        if (at <= x[0] || x.Length == 1)
            return y[0];
        if (at >= x[^1])
            return y[^1];
        return pieces[Interval(x, at)].At(at);
    }

    /// <summary>The value at a place between the ends, without keeping slopes: for curves that are asked once.</summary>
    /// <param name="x">Strictly increasing.</param>
    /// <param name="y">As many values.</param>
    /// <param name="at">The place; beyond the ends the value of the end.</param>
    internal static double Once(ReadOnlySpan<double> x, ReadOnlySpan<double> y, double at)
    {
        if (at <= x[0] || x.Length == 1)
            return y[0];
        if (at >= x[^1])
            return y[^1];
        var i = Interval(x, at);
        return Piece.Between(x[i], x[i + 1], y[i], y[i + 1], SlopeAt(x, y, i), SlopeAt(x, y, i + 1)).At(at);
    }

    /// <summary>The first interval that ends at or beyond a place inside the ends.</summary>
    internal static int Interval(ReadOnlySpan<double> x, double at)
    {
        var i = 0;
        while (at > x[i + 1])
            i++;
        return i;
    }

    private static double SlopeAt(ReadOnlySpan<double> x, ReadOnlySpan<double> y, int i)
    {
        var last = x.Length - 1;
        if (last == 0)
            return 0;
        if (last == 1)
            return (y[1] - y[0]) / (x[1] - x[0]);
        if (i == 0)
            return EndSlope(x[1] - x[0], x[2] - x[1], (y[1] - y[0]) / (x[1] - x[0]), (y[2] - y[1]) / (x[2] - x[1]));
        if (i == last)
            return EndSlope(x[i] - x[i - 1], x[i - 1] - x[i - 2], (y[i] - y[i - 1]) / (x[i] - x[i - 1]), (y[i - 1] - y[i - 2]) / (x[i - 1] - x[i - 2]));
        var (before, after) = (x[i] - x[i - 1], x[i + 1] - x[i]);
        var (m0, m1) = ((y[i] - y[i - 1]) / before, (y[i + 1] - y[i]) / after);
        if (m0 * m1 <= 0)
            return 0;
        var (w0, w1) = (2 * after + before, after + 2 * before);
        return (w0 + w1) * m0 * m1 / (w0 * m1 + w1 * m0);
    }

    private static double EndSlope(double h0, double h1, double m0, double m1)
    {
        var slope = ((2 * h0 + h1) * m0 - h0 * m1) / (h0 + h1);
        if (Math.Sign(slope) != Math.Sign(m0))
            return 0;
        return Math.Sign(m0) != Math.Sign(m1) && Math.Abs(slope) > 3 * Math.Abs(m0) ? 3 * m0 : slope;
    }

    /// <summary>A cubic from a place on.</summary>
    private readonly record struct Piece(double Start, double Value, double Slope, double Second, double Third)
    {
        /// <summary>The cubic with given values and slopes at both ends (Hermite).</summary>
        public static Piece Between(double x0, double x1, double y0, double y1, double d0, double d1)
        {
            var h = x1 - x0;
            var m = (y1 - y0) / h;
            return new Piece(x0, y0, d0, (3 * m - 2 * d0 - d1) / h, (d0 + d1 - 2 * m) / (h * h));
        }

        public double At(double at)
        {
            var t = at - Start;
            return Value + t * (Slope + t * (Second + t * Third));
        }
    }
}
