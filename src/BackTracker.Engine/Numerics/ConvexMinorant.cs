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
        if (x.Length != y.Length)
            throw new ArgumentException($"{x.Length} places but {y.Length} values.", nameof(y));
        var corners = Corners(x, y);
        var minorant = y.ToArray();
        for (var k = 1; k < corners.Count; k++)
        {
            int from = corners[k - 1], to = corners[k];
            for (var i = from + 1; i < to; i++)
                minorant[i] = Math.Min(y[i], y[from] + ((y[to] - y[from]) * ((x[i] - x[from]) / (x[to] - x[from]))));
        }
        return minorant;
    }

    private static List<int> Corners(ReadOnlySpan<double> x, ReadOnlySpan<double> y)
    {
        var corners = new List<int>(x.Length);
        for (var i = 0; i < x.Length; i++)
        {
            if (i > 0 && !(x[i] > x[i - 1]))
                throw new ArgumentException($"Place {i} ({x[i]}) does not lie beyond the one before it ({x[i - 1]}).", nameof(x));
            while (corners.Count > 1 && !TurnsUp(x, y, corners[^2], corners[^1], i))
                corners.RemoveAt(corners.Count - 1);
            corners.Add(i);
        }
        return corners;
    }

    private static bool TurnsUp(ReadOnlySpan<double> x, ReadOnlySpan<double> y, int a, int b, int c) =>
        (x[b] - x[a]) * (y[c] - y[a]) > (x[c] - x[a]) * (y[b] - y[a]);
}
