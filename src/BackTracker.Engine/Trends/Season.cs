namespace BackTracker.Engine.Trends;

/// <summary>The year as cosine and sine of 2 pi t / 365.25.</summary>
internal readonly record struct Season(double Cos, double Sin)
{
    private const double DaysPerYear = 365.25;

    public static Season On(double day)
    {
        var (sin, cos) = Math.SinCos(2 * Math.PI * day / DaysPerYear);
        return new Season(cos, sin);
    }
}
