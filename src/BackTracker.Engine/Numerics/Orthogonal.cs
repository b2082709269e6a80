namespace BackTracker.Engine.Numerics;

/// <summary>Orthogonal reduction of small matrices.</summary>
internal static class Orthogonal
{
    /// <summary>
    /// The upper triangle R with R'R = A'A, by Householder reflections (Golub and Van Loan 2013, Matrix Computations, 5.2). A is overwritten.
    /// </summary>
    public static double[,] Triangle(double[,] a)
    {
        var (rows, columns) = (a.GetLength(0), a.GetLength(1));
        for (var k = 0; k < Math.Min(rows - 1, columns); k++)
            Reflect(a, k);
        var triangle = new double[columns, columns];
        for (var i = 0; i < Math.Min(rows, columns); i++)
            for (var j = i; j < columns; j++)
                triangle[i, j] = a[i, j];
        return triangle;
    }

    // Zeroes column k below the diagonal.
    private static void Reflect(double[,] a, int k)
    {
        var (rows, columns) = (a.GetLength(0), a.GetLength(1));
        var largest = 0.0;
        for (var i = k; i < rows; i++)
            largest = Math.Max(largest, Math.Abs(a[i, k]));
        if (largest == 0)
            return;
        var norm = 0.0;
        for (var i = k; i < rows; i++)
            norm += a[i, k] / largest * (a[i, k] / largest);
        norm = largest * Math.Sqrt(norm);
        var v = new double[rows];
        for (var i = k; i < rows; i++)
            v[i] = a[i, k] / norm;
        v[k] += v[k] >= 0 ? 1 : -1;
        for (var j = k; j < columns; j++)
        {
            var dot = 0.0;
            for (var i = k; i < rows; i++)
                dot += v[i] * a[i, j];
            dot /= Math.Abs(v[k]);
            for (var i = k; i < rows; i++)
                a[i, j] -= dot * v[i];
        }
    }
}
