namespace BackTracker.Engine.Numerics;

/// <summary>Functions the base library lacks, to about 1e-15 relative.</summary>
public static class SpecialFunctions
{
    // erfcx(x) (1 + 2x) as a polynomial in t = (x - K)/(x + K), by powers of t. The mapping of Shepherd and Laframboise 1981,
    // Mathematics of Computation 36:249-253; coefficients fitted for this project in 50-digit arithmetic, worst error 5e-16.
    private const double Centre = 3.75;

    private static ReadOnlySpan<double> EvenCoefficients =>
    [
        1.2375126308378275, 0.0035854154854644293, -0.10880393014174886, -0.05869339858963677, -0.009746579558029276,
        0.0002937136655913448, 5.164909889268241e-05, -1.1444146237700524e-05, 1.751637648849062e-06, -2.5866850716155884e-07,
        3.8675334242222354e-08, -5.1739902140113095e-09, 4.2514714447963895e-10,
    ];

    private static ReadOnlySpan<double> OddCoefficients =>
    [
        -0.14024059858554697, 0.0822767384901452, 0.09230432116037748, 0.028362277418956406, 0.0017556258528952954,
        -0.0002901540805408417, 2.238423915508223e-05, -9.73559896736775e-07, -5.7218230603224086e-08, 2.3263508708859124e-08,
        -3.744210080962018e-09, 3.1114333809799254e-10,
    ];

    /// <summary>e^x - 1 without cancellation near zero.</summary>
    /// <remarks>The quotient of two equally wrong differences is right: Higham 2002, Accuracy and Stability of Numerical Algorithms, 1.14.1.</remarks>
    public static double ExpM1(double x)
    {
        var grown = Math.Exp(x);
        if (grown == 1)
            return x;
        var difference = grown - 1;
        return difference == -1 || double.IsPositiveInfinity(grown) ? difference : difference * x / Math.Log(grown);
    }

    /// <summary>Scaled complementary error function e^(x^2) erfc(x) for x &gt;= 0.</summary>
    public static double ScaledErfc(double x)
    {
        if (double.IsPositiveInfinity(x))
            return 0;
        var t = (x - Centre) / (x + Centre);
        var square = t * t;
        var even = Horner(EvenCoefficients, square);
        var odd = Horner(OddCoefficients, square);
        return Math.FusedMultiplyAdd(odd, t, even) / (1 + 2 * x);
    }

    /// <summary>Complementary error function, 1 - erf(x).</summary>
    public static double Erfc(double x) =>
        x < 0 ? 2 - Erfc(-x) : x > 27 ? 0 : ExpMinusSquare(x, 1) * ScaledErfc(x);

    /// <summary>e^(-factor x^2); the rounding of the square is put back, else tails lose a digit for every factor ten in x^2.</summary>
    internal static double ExpMinusSquare(double x, double factor)
    {
        var square = x * x;
        var lost = Math.FusedMultiplyAdd(x, x, -square);
        return Math.Exp(-factor * square) * (1 - factor * lost);
    }

    private static double Horner(ReadOnlySpan<double> coefficients, double x)
    {
        var sum = coefficients[^1];
        for (var i = coefficients.Length - 2; i >= 0; i--)
            sum = Math.FusedMultiplyAdd(sum, x, coefficients[i]);
        return sum;
    }
}
