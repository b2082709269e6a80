namespace BackTracker.Engine.Muscle;

/// <summary>A symmetric matrix of two rows: a b; b c.</summary>
internal readonly record struct Symmetric2(double A, double B, double C)
{
    public static Symmetric2 Outer((double X, double Y) v) => new(v.X * v.X, v.X * v.Y, v.Y * v.Y);

    public static Symmetric2 operator +(Symmetric2 left, Symmetric2 right) => new(left.A + right.A, left.B + right.B, left.C + right.C);

    public Symmetric2 Scaled(double factor) => new(factor * A, factor * B, factor * C);

    public Symmetric2 Inverse()
    {
        var determinant = (A * C) - (B * B);
        return new(C / determinant, -B / determinant, A / determinant);
    }

    public (double X, double Y) Times(double x, double y) => ((A * x) + (B * y), (B * x) + (C * y));

    /// <summary>This, the other, and this again.</summary>
    public Symmetric2 Sandwich(Symmetric2 middle)
    {
        var first = middle.Times(A, B);
        var second = middle.Times(B, C);
        return new((A * first.X) + (B * first.Y), (A * second.X) + (B * second.Y), (B * second.X) + (C * second.Y));
    }
}
