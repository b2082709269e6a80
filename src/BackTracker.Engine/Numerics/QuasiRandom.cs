namespace BackTracker.Engine.Numerics;

/// <summary>
/// Points that fill the unit cube evenly and are the same every time: multiples of the square roots of primes modulo 1 (Richtmyer 1951;
/// Niederreiter 1978, Bull Am Math Soc 84:957; from memory), with the number of the point itself as the first coordinate.
/// </summary>
internal static class QuasiRandom
{
    private static readonly double[] Roots = [.. Primes(256).Select(prime => Math.Sqrt(prime))];

    /// <summary>One coordinate of every point, turned into standard normal draws.</summary>
    /// <param name="coordinate">Which coordinate, 0 to 256.</param>
    /// <param name="points">How many points there are.</param>
    public static double[] Normals(int coordinate, int points) =>
        [.. Enumerable.Range(0, points).Select(point => Normal.Quantile(Coordinate(point, coordinate, points)))];

    private static double Coordinate(int point, int coordinate, int points)
    {
        if (coordinate == 0)
            return (point + .5) / points;
        var multiple = (point + 1) * Roots[coordinate - 1];
        return Math.Clamp(multiple - Math.Floor(multiple), 1e-12, 1 - 1e-12);
    }

    private static List<int> Primes(int count)
    {
        var found = new List<int>();
        for (var candidate = 2; found.Count < count; candidate++)
        {
            if (found.TrueForAll(prime => candidate % prime != 0))
                found.Add(candidate);
        }
        return found;
    }
}

/// <summary>The lower triangle whose product with its transpose is a given matrix.</summary>
internal static class Cholesky
{
    private const double Nothing = 1e-10;

    /// <summary>The triangle of a matrix that is positive semidefinite but for rounding: a direction in which nothing is left stays empty.</summary>
    public static double[,] Of(double[,] matrix)
    {
        var (count, lower) = (matrix.GetLength(0), new double[matrix.GetLength(0), matrix.GetLength(0)]);
        for (var i = 0; i < count; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var rest = matrix[i, j];
                for (var k = 0; k < j; k++)
                    rest -= lower[i, k] * lower[j, k];
                if (i == j)
                    lower[i, i] = Math.Sqrt(Math.Max(rest, 0));
                else
                    lower[i, j] = lower[j, j] > Nothing ? rest / lower[j, j] : 0;
            }
        }
        return lower;
    }
}
