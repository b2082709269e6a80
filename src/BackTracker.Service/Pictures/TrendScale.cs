using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>The place of a plot in its picture, px.</summary>
internal readonly record struct PlotPlace(double Left, double Top, double Right, double Bottom);

/// <summary>Where days and values lie in a picture of a trend.</summary>
internal sealed class TrendScale
{
    private const double BesideBandsPx = 42;

    // Of the height, for the words beyond a limit.
    private const double WordsShare = .2;
    private readonly PlotPlace place;

    private TrendScale(DateOnly first, DateOnly last, double low, double high, PlotPlace place) =>
        (First, Last, Low, High, this.place) = (first, last, low, high, place);

    public DateOnly First { get; }

    public DateOnly Last { get; }

    public double Low { get; }

    public double High { get; }

    public double Left => place.Left;

    public double Right => place.Right;

    public double Top => place.Top;

    public double Bottom => place.Bottom;

    public double WidthPx => Right - Left;

    /// <summary>A scale on which all that is drawn has room; a limit of tolerance only where it is no further off than the rest is tall.</summary>
    public static TrendScale Of(TrendDrawing drawing, IReadOnlyList<DrawnPoint> points, (DateOnly First, DateOnly Last) days, PlotPlace picture)
    {
        double[] values =
        [
            .. points.SelectMany(point => new[] { point.Low, point.High }),
            .. drawing.Forecast.SelectMany(day => new[] { day.Band95.Low, day.Band95.High }),
        ];
        var (low, high) = (values.Min(), values.Max());
        var reach = Math.Max(high - low, .01 * Math.Abs(high));
        if (drawing.Tolerance is { } tolerance)
        {
            var (below, above) = (tolerance.Low > low - reach && tolerance.Low < high, tolerance.High < high + reach && tolerance.High > low);
            (low, high) = (below ? Math.Min(low, tolerance.Low) : low, above ? Math.Max(high, tolerance.High) : high);
            var words = WordsShare * (high - low);
            (low, high) = (below ? Math.Min(low, tolerance.Low - words) : low, above ? Math.Max(high, tolerance.High + words) : high);
        }
        var room = Math.Max(.06 * (high - low), .004 * Math.Abs(high));
        var (from, to) = (days.First.AddDays(-3), days.Last);
        var widest = RoundTicks.Of(low - room, high + room, 5).Max(value => Svg.WidthOf(TrendWords.Tick(value)));
        return new(from, to, low - room, high + room, picture with { Left = widest + 14, Right = picture.Right - BesideBandsPx });
    }

    public double X(DateOnly day) => Left + (WidthPx * (day.DayNumber - First.DayNumber) / Math.Max(1, Last.DayNumber - First.DayNumber));

    public double Y(double value) => Bottom - ((Bottom - Top) * (value - Low) / (High - Low));

    public PointMm At(DateOnly day, double value) => new(X(day), Y(value));

    public bool Shows(double value) => value >= Low && value <= High;

    /// <summary>Where along the plot words cover the fewest points.</summary>
    public double Clearest(IReadOnlyList<DrawnPoint> points, double y, double widthPx)
    {
        var most = Math.Max(Left + 4, Right - widthPx - 4);
        var places = Enumerable.Range(0, 12).Select(i => Left + 4 + ((most - Left - 4) * i / 11));
        return places.MinBy(x => points.Count(point =>
            X(point.Day) > x - 6 && X(point.Day) < x + widthPx + 6 && Y(point.High) < y + 6 && Y(point.Low) > y - 14));
    }
}
