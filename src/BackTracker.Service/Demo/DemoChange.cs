namespace BackTracker.Service.Demo;

/// <summary>Something that moves a back, in mm on a day; days are counted from today (negative = past).</summary>
/// <param name="On">Change on a day, mm.</param>
internal sealed record DemoChange(Func<int, double> On)
{
    /// <summary>Built, or lost where mm is negative, from a day on, ever slower.</summary>
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
