namespace BackTracker.Engine.Numerics;

/// <summary>Three numbers that belong together.</summary>
internal readonly record struct Triple(double A, double B, double C)
{
    public double Largest => Math.Max(Math.Abs(A), Math.Max(Math.Abs(B), Math.Abs(C)));

    public double Dot(Triple other) => (A * other.A) + (B * other.B) + (C * other.C);

    public static Triple operator +(Triple a, Triple b) => new(a.A + b.A, a.B + b.B, a.C + b.C);

    public static Triple operator -(Triple a) => new(-a.A, -a.B, -a.C);

    public static Triple operator *(double factor, Triple a) => new(factor * a.A, factor * a.B, factor * a.C);
}

/// <summary>A symmetric 3 by 3 matrix, by rows from the diagonal on.</summary>
internal readonly record struct Symmetric3(double Aa, double Ab, double Ac, double Bb, double Bc, double Cc)
{
    public double Trace => Aa + Bb + Cc;

    /// <summary>With the outer product of (a, b, c) added.</summary>
    public Symmetric3 Plus(double a, double b, double c) => new(Aa + (a * a), Ab + (a * b), Ac + (a * c), Bb + (b * b), Bc + (b * c), Cc + (c * c));

    /// <summary>The matrix itself where its least eigenvalue is at least <paramref name="least"/>, else with so much added to the diagonal.</summary>
    public Symmetric3 Lifted(double least)
    {
        var smallest = LeastEigenvalue();
        if (smallest >= least)
            return this;
        var more = least - Math.Min(smallest, 0);
        return this with { Aa = Aa + more, Bb = Bb + more, Cc = Cc + more };
    }

    /// <summary>Solves by Cholesky; the matrix has to be positive definite.</summary>
    public Triple Solve(Triple right)
    {
        var l11 = Math.Sqrt(Aa);
        var (l21, l31) = (Ab / l11, Ac / l11);
        var l22 = Math.Sqrt(Bb - (l21 * l21));
        var l32 = (Bc - (l31 * l21)) / l22;
        var l33 = Math.Sqrt(Cc - (l31 * l31) - (l32 * l32));
        var y1 = right.A / l11;
        var y2 = (right.B - (l21 * y1)) / l22;
        var y3 = (right.C - (l31 * y1) - (l32 * y2)) / l33;
        var c = y3 / l33;
        var b = (y2 - (l32 * c)) / l22;
        return new Triple((y1 - (l21 * b) - (l31 * c)) / l11, b, c);
    }

    /// <summary>Rank, counting eigenvalues over <paramref name="tolerance"/> of the trace.</summary>
    public int Rank(double tolerance)
    {
        var (low, middle, high) = Eigenvalues();
        var least = tolerance * Trace;
        return (low > least ? 1 : 0) + (middle > least ? 1 : 0) + (high > least ? 1 : 0);
    }

    private double LeastEigenvalue() => Eigenvalues().Low;

    // Smith 1961, Eigenvalues of a symmetric 3 x 3 matrix, Comm ACM 4:168 (from memory).
    private (double Low, double Middle, double High) Eigenvalues()
    {
        var mean = Trace / 3;
        var (a, b, c) = (Aa - mean, Bb - mean, Cc - mean);
        var p = Math.Sqrt(((a * a) + (b * b) + (c * c) + (2 * ((Ab * Ab) + (Ac * Ac) + (Bc * Bc)))) / 6);
        if (p == 0)
            return (mean, mean, mean);
        var half = ((a * ((b * c) - (Bc * Bc))) - (Ab * ((Ab * c) - (Bc * Ac))) + (Ac * ((Ab * Bc) - (b * Ac)))) / (2 * p * p * p);
        var angle = Math.Acos(Math.Clamp(half, -1, 1)) / 3;
        var high = mean + (2 * p * Math.Cos(angle));
        var low = mean + (2 * p * Math.Cos(angle + (2 * Math.PI / 3)));
        return (low, (3 * mean) - high - low, high);
    }
}
