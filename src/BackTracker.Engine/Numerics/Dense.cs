namespace BackTracker.Engine.Numerics;

/// <summary>The few operations on small dense matrices the filters need.</summary>
internal static class Dense
{
    public static double[] Times(double[,] a, ReadOnlySpan<double> x)
    {
        var result = new double[a.GetLength(0)];
        for (var i = 0; i < result.Length; i++)
            for (var j = 0; j < x.Length; j++)
                result[i] += a[i, j] * x[j];
        return result;
    }

    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        var sum = 0.0;
        for (var i = 0; i < a.Length; i++)
            sum += a[i] * b[i];
        return sum;
    }

    public static double[,] Product(double[,] a, double[,] b)
    {
        var result = new double[a.GetLength(0), b.GetLength(1)];
        for (var i = 0; i < result.GetLength(0); i++)
            for (var k = 0; k < b.GetLength(0); k++)
                for (var j = 0; j < result.GetLength(1); j++)
                    result[i, j] += a[i, k] * b[k, j];
        return result;
    }

    public static double[,] Transposed(double[,] a)
    {
        var result = new double[a.GetLength(1), a.GetLength(0)];
        for (var i = 0; i < result.GetLength(0); i++)
            for (var j = 0; j < result.GetLength(1); j++)
                result[i, j] = a[j, i];
        return result;
    }

    /// <summary>A P A'.</summary>
    public static double[,] Sandwich(double[,] a, double[,] p) => Product(Product(a, p), Transposed(a));

    /// <summary>Adds factor x x' to a symmetric matrix.</summary>
    public static void AddOuter(double[,] a, double factor, ReadOnlySpan<double> x)
    {
        for (var i = 0; i < x.Length; i++)
            for (var j = 0; j < x.Length; j++)
                a[i, j] += factor * x[i] * x[j];
    }

    /// <summary>Adds factor b to a.</summary>
    public static void Add(double[,] a, double factor, double[,] b)
    {
        for (var i = 0; i < a.GetLength(0); i++)
            for (var j = 0; j < a.GetLength(1); j++)
                a[i, j] += factor * b[i, j];
    }

    public static double[,] Identity(int size)
    {
        var result = new double[size, size];
        for (var i = 0; i < size; i++)
            result[i, i] = 1;
        return result;
    }

    /// <summary>Solves A X = B for a symmetric positive definite A by Cholesky; a direction of no variance gives 0.</summary>
    public static double[,] SolveSymmetric(double[,] a, double[,] b)
    {
        var factor = Cholesky(a);
        var x = (double[,])b.Clone();
        for (var column = 0; column < x.GetLength(1); column++)
        {
            for (var i = 0; i < factor.GetLength(0); i++)
            {
                for (var k = 0; k < i; k++)
                    x[i, column] -= factor[i, k] * x[k, column];
                x[i, column] = factor[i, i] > 0 ? x[i, column] / factor[i, i] : 0;
            }
            for (var i = factor.GetLength(0) - 1; i >= 0; i--)
            {
                for (var k = i + 1; k < factor.GetLength(0); k++)
                    x[i, column] -= factor[k, i] * x[k, column];
                x[i, column] = factor[i, i] > 0 ? x[i, column] / factor[i, i] : 0;
            }
        }
        return x;
    }

    private static double[,] Cholesky(double[,] a)
    {
        var size = a.GetLength(0);
        var factor = new double[size, size];
        for (var j = 0; j < size; j++)
        {
            var pivot = a[j, j];
            for (var k = 0; k < j; k++)
                pivot -= factor[j, k] * factor[j, k];
            if (pivot <= 1e-15 * a[j, j])
                continue;
            factor[j, j] = Math.Sqrt(pivot);
            for (var i = j + 1; i < size; i++)
            {
                var sum = a[i, j];
                for (var k = 0; k < j; k++)
                    sum -= factor[i, k] * factor[j, k];
                factor[i, j] = sum / factor[j, j];
            }
        }
        return factor;
    }
}
