namespace BackTracker.Service.Pictures;

/// <summary>What a picture of a trend shows; plain values.</summary>
/// <param name="HorseName">The horse.</param>
/// <param name="Name">"the width at T13, 150 mm down".</param>
/// <param name="Unit">"mm"; "-" where there is none.</param>
/// <param name="Today">The day known.</param>
/// <param name="Movement">Which way it goes, in words.</param>
/// <param name="Points">Sessions, oldest first.</param>
/// <param name="Smoothed">Smoothed levels, oldest first.</param>
/// <param name="Forecast">From the last session on.</param>
/// <param name="Tolerance">How far it may go before the tree is out; null where that is not known.</param>
/// <param name="Marks">What was done, oldest first.</param>
internal sealed record TrendDrawing(
    string HorseName, string Name, string Unit, DateOnly Today, string Movement, IReadOnlyList<DrawnPoint> Points, IReadOnlyList<DrawnLevel> Smoothed,
    IReadOnlyList<DrawnForecast> Forecast, DrawnTolerance? Tolerance, IReadOnlyList<DrawnMark> Marks)
{
    public string WithUnit(string number) => Unit == "-" ? number : $"{number} {Unit}";
}

/// <summary>A session.</summary>
/// <param name="Day">Its day.</param>
/// <param name="Value">Mean of its repeats.</param>
/// <param name="Se">Standard error.</param>
/// <param name="OutlierProbability">Drawn hollow from one half on.</param>
internal readonly record struct DrawnPoint(DateOnly Day, double Value, double Se, double OutlierProbability)
{
    private const double Normal95 = 1.96;

    public bool IsOutlying => OutlierProbability >= .5;

    /// <summary>Lower end of its 95 % bar.</summary>
    public double Low => Value - (Normal95 * Se);

    /// <summary>Upper end of it.</summary>
    public double High => Value + (Normal95 * Se);
}

/// <summary>A smoothed level.</summary>
internal readonly record struct DrawnLevel(DateOnly Day, double Level);

/// <summary>What is expected of a day.</summary>
/// <param name="Day">The day.</param>
/// <param name="Level">Expected level.</param>
/// <param name="Band50">Ends of the band that holds it with 50 %.</param>
/// <param name="Band80">The same for 80 %.</param>
/// <param name="Band95">The same for 95 %.</param>
internal sealed record DrawnForecast(DateOnly Day, double Level, DrawnBand Band50, DrawnBand Band80, DrawnBand Band95);

/// <summary>Ends of a band.</summary>
internal readonly record struct DrawnBand(double Low, double High);

/// <summary>Between which widths of the back the tree of a saddle is within tolerance.</summary>
/// <param name="SaddleLabel">The saddle.</param>
/// <param name="Low">Below it the tree is too wide.</param>
/// <param name="High">Above it the tree is too narrow.</param>
internal sealed record DrawnTolerance(string SaddleLabel, double Low, double High)
{
    public bool Holds(double level) => level >= Low && level <= High;
}

/// <summary>Something done on a day.</summary>
/// <param name="Day">The day.</param>
/// <param name="Words">"flocked", "fit check".</param>
internal readonly record struct DrawnMark(DateOnly Day, string Words);
