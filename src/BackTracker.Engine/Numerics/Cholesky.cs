namespace BackTracker.Engine.Numerics;

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
