namespace BackTracker.Engine.Numerics;

/// <summary>
/// Points that stand for a standard normal vector: the third-degree spherical-radial rule (Arasaratnam and Haykin 2009, IEEE Trans Autom
/// Control 54:1254, from memory), turned by a cosine transform so that no point lies far out along a single coordinate. Means of cubics are
/// exact, and so is what each coordinate counts for.
/// </summary>
internal static class Cubature
{
    private static readonly double Sqrt2 = Math.Sqrt(2);

    /// <summary>Half of the points; the others are their opposites, and all count alike.</summary>
    /// <param name="dimensions">Number of coordinates.</param>
    public static IReadOnlyList<double[]> Points(int dimensions) => [.. Enumerable.Range(0, dimensions).Select(k => Point(dimensions, k))];

    private static double[] Point(int n, int k) => [.. Enumerable.Range(0, n).Select(j => j == 0 ? 1 : Sqrt2 * Math.Cos(Math.PI * (k + .5) * j / n))];
}
