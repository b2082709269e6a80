namespace BackTracker.Engine.Numerics;

/// <summary>
/// The few columns that, times their transpose, come closest to a covariance matrix step by step: each takes away all that goes together with the place
/// of which most is left (Harbrecht, Peters and Schneider 2012, Applied Numerical Mathematics 62:428-440; from memory).
/// </summary>
internal static class PivotedCholesky
{
    private const double Nothing = 1e-14;

    /// <summary>The columns, the weightiest first; those for which nothing is left are zero.</summary>
    /// <param name="matrix">Symmetric, positive semidefinite but for rounding; is used up.</param>
    /// <param name="columns">How many columns.</param>
    public static double[][] Of(double[,] matrix, int columns)
    {
        var size = matrix.GetLength(0);
        var found = new double[columns][];
        for (var column = 0; column < columns; column++)
        {
            found[column] = new double[size];
            var pivot = MostLeft(matrix);
            if (matrix[pivot, pivot] <= Nothing)
                continue;
            var root = Math.Sqrt(matrix[pivot, pivot]);
            for (var i = 0; i < size; i++)
                found[column][i] = matrix[i, pivot] / root;
            for (var i = 0; i < size; i++)
                for (var j = 0; j < size; j++)
                    matrix[i, j] -= found[column][i] * found[column][j];
        }
        return found;
    }

    private static int MostLeft(double[,] matrix)
    {
        var most = 0;
        for (var i = 1; i < matrix.GetLength(0); i++)
        {
            if (matrix[i, i] > matrix[most, most])
                most = i;
        }
        return most;
    }
}
