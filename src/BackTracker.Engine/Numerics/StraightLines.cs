namespace BackTracker.Engine.Numerics;

/// <summary>
/// The straight lines that come closest to several functions of a standard normal vector, over points that stand for it
/// (<see cref="Cubature"/>). A tangent at the middle would miss that functions bend.
/// </summary>
internal sealed class StraightLines
{
    private readonly double[] shifts;
    private readonly double[] bends;
    private readonly double[][] slopes;
    private readonly int[] counted;

    /// <summary>Takes the functions at every point.</summary>
    /// <param name="dimensions">Length of the vector.</param>
    /// <param name="middle">Every function at zero.</param>
    /// <param name="at">Every function at a place; null where none is known, NaN where one is not.</param>
    public StraightLines(int dimensions, double[] middle, Func<double[], double[]?> at)
    {
        var count = middle.Length;
        (shifts, bends, counted) = (new double[count], new double[count], new int[count]);
        slopes = [.. Enumerable.Range(0, count).Select(_ => new double[dimensions])];
        foreach (var point in Cubature.Points(dimensions))
            Count(point, middle, at(point), at([.. point.Select(along => -along)]));
        for (var k = 0; k < count; k++)
            Settle(k);
    }

    /// <summary>By how much the mean of a function lies above its value in the middle.</summary>
    public double ShiftOf(int function) => shifts[function];

    /// <summary>Variance that the straight line of a function leaves.</summary>
    public double BendVarianceOf(int function) => bends[function];

    /// <summary>What a function rises by for each coordinate of the vector.</summary>
    public double[] SlopesOf(int function) => slopes[function];

    // Where a function is not known on one of two opposite points, the other mirrored in the middle stands for it.
    private void Count(double[] point, double[] middle, double[]? above, double[]? below)
    {
        for (var k = 0; k < middle.Length; k++)
        {
            var (up, down) = ((above?[k] ?? double.NaN) - middle[k], (below?[k] ?? double.NaN) - middle[k]);
            up = double.IsNaN(up) ? -down : up;
            down = double.IsNaN(down) ? -up : down;
            if (double.IsNaN(up))
                continue;
            counted[k] += 2;
            shifts[k] += up + down;
            bends[k] += (up * up) + (down * down);
            for (var i = 0; i < point.Length; i++)
                slopes[k][i] += (up - down) * point[i];
        }
    }

    private void Settle(int k)
    {
        var count = Math.Max(1, counted[k]);
        shifts[k] /= count;
        var variance = (bends[k] / count) - (shifts[k] * shifts[k]);
        for (var i = 0; i < slopes[k].Length; i++)
        {
            slopes[k][i] /= count;
            variance -= slopes[k][i] * slopes[k][i];
        }
        bends[k] = Math.Max(0, variance);
    }
}
