namespace BackTracker.Service.Demo;

/// <summary>Something that moves a back, in mm at T13; the other stations follow in part.</summary>
/// <param name="AtT13">Change in mm on a day, counted in days from today (negative = past).</param>
internal sealed record DemoChange(Func<int, double> AtT13)
{
    /// <summary>Muscle built from a day on, ever slower.</summary>
    public static DemoChange Building(int from, double mm, double days) => new(day => day <= from ? 0 : mm * (1 - Math.Exp(-(day - from) / days)));

    /// <summary>Lost over a lay-off and won back after it.</summary>
    public static DemoChange LayOff(int from, int to, double mm) => new(day =>
    {
        var lost = day <= from ? 0 : mm * (1 - Math.Exp(-(Math.Min(day, to) - from) / 45.0));
        return day <= to ? -lost : -lost * Math.Exp(-(day - to) / 120.0);
    });

    /// <summary>The swing of the year.</summary>
    public static DemoChange Season(double mm, int peak) => new(day => mm * Math.Cos(2 * Math.PI * (day - peak) / 365.25));
}

/// <summary>The true shape of an invented back on any day: widths at the stations, and how much larger the right side is.</summary>
/// <param name="T13">Width at T13 and 150 mm on the first day, mm.</param>
/// <param name="Changes">What moves it.</param>
/// <param name="RightLarger">Right half less left half on a day, mm.</param>
internal sealed record DemoBack(double T13, IReadOnlyList<DemoChange> Changes, Func<int, double>? RightLarger = null)
{
    public static IReadOnlyList<string> Stations { get; } = ["T8", "T13", "T18"];

    public double Width(string station, int depthMm, int day)
    {
        var change = Changes.Sum(c => c.AtT13(day));
        var (start, share) = station switch
        {
            "T8" => (T13 - 34, .9),
            "T18" => (T13 + 14, .6),
            _ => (T13, 1.0),
        };
        return depthMm == 150 ? start + share * change : start * .47 + share * change * .4;
    }
}
