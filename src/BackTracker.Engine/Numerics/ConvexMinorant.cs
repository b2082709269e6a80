namespace BackTracker.Engine.Numerics;

/// <summary>
/// The greatest convex function that lies nowhere above given points: what a string does that is pulled tight along their lower side.
/// Adding a straight line to the points adds it to the minorant too, so what lies between the two does not depend on a tilt.
/// </summary>
public static class ConvexMinorant
{
    /// <summary>Value of the minorant at each x; at most y everywhere, equal to y at both ends. Lower hull by monotone chain (Andrew 1979, Inf Process Lett 9:216-219).</summary>
    /// <param name="x">Places, finite and strictly increasing.</param>
    /// <param name="y">Finite values, as many as places.</param>
    /// <exception cref="ArgumentException">The two differ in length, or x does not increase everywhere.</exception>
    public static double[] Of(ReadOnlySpan<double> x, ReadOnlySpan<double> y)
    {
        var minorant = new double[x.Length];
        Of(x, y, minorant);
        return minorant;
    }

    /// <summary>The same, into a place of the caller's, at least as long.</summary>
    internal static void Of(ReadOnlySpan<double> x, ReadOnlySpan<double> y, Span<double> minorant)
    {
        if (x.Length != y.Length)
            throw new ArgumentException($"{x.Length} places but {y.Length} values.", nameof(y));
        Span<int> corners = x.Length <= 64 ? stackalloc int[x.Length] : new int[x.Length];
        corners = corners[..Corners(x, y, corners)];
        y.CopyTo(minorant);
        for (var k = 1; k < corners.Length; k++)
        {
            int from = corners[k - 1], to = corners[k];
            for (var i = from + 1; i < to; i++)
                minorant[i] = Math.Min(y[i], y[from] + ((y[to] - y[from]) * ((x[i] - x[from]) / (x[to] - x[from]))));
        }
    }

    private static int Corners(ReadOnlySpan<double> x, ReadOnlySpan<double> y, Span<int> corners)
    {
        var count = 0;
        for (var i = 0; i < x.Length; i++)
        {
            if (i > 0 && !(x[i] > x[i - 1]))
                throw new ArgumentException($"Place {i} ({x[i]}) does not lie beyond the one before it ({x[i - 1]}).", nameof(x));
            while (count > 1 && !TurnsUp(x, y, corners[count - 2], corners[count - 1], i))
                count--;
            corners[count++] = i;
        }
        return count;
    }

    private static bool TurnsUp(ReadOnlySpan<double> x, ReadOnlySpan<double> y, int a, int b, int c) =>
        (x[b] - x[a]) * (y[c] - y[a]) > (x[c] - x[a]) * (y[b] - y[a]);
}
