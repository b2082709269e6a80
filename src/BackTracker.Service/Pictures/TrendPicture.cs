using BackTracker.Engine;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>One metric over time: what was measured, the line through it, what is expected and what the tree tolerates.</summary>
internal sealed class TrendPicture
{
    private const int HistoryDays = 365;
    private const int PhoneHistoryDays = 240;
    private const int PhonePx = 480;
    private const double RowPx = 17;
    private static readonly Pen Grid = new("grid", 1, "", .18);
    private static readonly Pen Thin = new("bar", 1.2);
    private static readonly Pen Curve = new("smoothed", 2);
    private static readonly Pen Expected = new("expected", 2, "6 4");
    private static readonly Pen Edge80 = new("band80-edge", 1);
    private static readonly Pen Edge95 = new("band95-edge", 1, "2 3");
    private static readonly Pen Limit = new("limit", 1.8, "10 3 2 3");
    private static readonly Pen TodayLine = new("today", 1.4, "4 2");

    private readonly TrendDrawing drawing;
    private readonly PictureFrame frame;
    private readonly List<DrawnPoint> points;
    private readonly List<PlacedMark> marks;
    private readonly Legend legend;
    private readonly TrendScale scale;
    private readonly Svg svg;

    private TrendPicture(TrendDrawing drawing, PictureFrame frame)
    {
        (this.drawing, this.frame) = (drawing, frame);
        var last = drawing.Forecast.Count > 0 ? drawing.Forecast[^1].Day : drawing.Today;
        var history = drawing.Today.AddDays(frame.WidthPx < PhonePx ? -PhoneHistoryDays : -HistoryDays);
        var from = drawing.Points[^1].Day < history ? drawing.Points[^1].Day : DayOrder.Later(history, drawing.Points[0].Day);
        points = [.. drawing.Points.Where(point => point.Day >= from)];
        var shown = drawing.Marks.Where(mark => mark.Day >= from).ToList();
        legend = LegendOf();
        var rows = 1 + (shown.Count > 0 ? 2 : 0);
        var height = (frame.WidthPx < PhonePx ? 340 : 300) + (frame.WidthPx < PhonePx ? 0 : legend.HeightAt(frame.WidthPx - 20) - Legend.RowPx);
        var bottom = height - legend.HeightAt(frame.WidthPx - 20) - 42;
        scale = TrendScale.Of(drawing, points, (from, last), new(0, 26 + (rows * RowPx), frame.WidthPx, bottom));
        marks = PlacedMark.Of(shown, scale.X, scale.Right, rows);
        svg = new Svg(frame, height, TrendWords.Title(drawing), TrendWords.Describe(drawing));
    }

    /// <summary>Draws it.</summary>
    /// <param name="drawing">What to show: one session at least.</param>
    /// <param name="frame">Where it is to stand.</param>
    public static string Draw(TrendDrawing drawing, PictureFrame frame) => new TrendPicture(drawing, frame).Draw();

    private string Draw()
    {
        DrawAxes();
        DrawBands();
        DrawTolerance();
        DrawLines();
        DrawPoints();
        DrawToday();
        foreach (var mark in marks)
            mark.Draw(svg, scale.Top);
        DrawLabels();
        legend.Draw(svg, 10, scale.Bottom + 40, frame.WidthPx - 20);
        return svg.Finish();
    }

    private void DrawAxes()
    {
        svg.Label(8, 16, Svg.Cut(TrendWords.Axis(drawing), frame.WidthPx - 16));
        var (values, days) = (RoundTicks.Of(scale.Low, scale.High, 5), RoundTicks.Of(scale.First, scale.Last, (int)(scale.WidthPx / 62)));
        svg.Lines(values.Select(value => (new PointMm(scale.Left, scale.Y(value)), new PointMm(scale.Right, scale.Y(value)))), Grid);
        foreach (var value in values)
            svg.Label(scale.Left - 6, scale.Y(value) + 4.5, TrendWords.Tick(value), "end");
        svg.Lines(
            days.Select(day => (new PointMm(scale.X(day), scale.Bottom), new PointMm(scale.X(day), scale.Bottom + 4)))
                .Prepend((new(scale.Left, scale.Bottom), new(scale.Right, scale.Bottom))),
            new Pen("axis", 1.2));
        foreach (var day in days)
            svg.Label(Inside(scale.X(day), RoundTicks.Short(day)), scale.Bottom + 17, RoundTicks.Short(day), "middle");
        var years = scale.First.Year == scale.Last.Year ? $"Day in {scale.First.Year}" : $"Day, {scale.First.Year} to {scale.Last.Year}";
        svg.Label((scale.Left + scale.Right) / 2, scale.Bottom + 34, years, "middle");
    }

    private void DrawBands()
    {
        if (drawing.Forecast.Count == 0)
            return;
        svg.Hatch("band80", 5, 45);
        DrawEdges(day => day.Band95, Edge95);
        svg.Hatched(Around(day => day.Band80), "band80", "band80");
        DrawEdges(day => day.Band80, Edge80);
        svg.Toned(Around(day => day.Band50), .32, "band50");
        svg.Polyline(drawing.Forecast.Select(day => scale.At(day.Day, day.Level)), Expected);
    }

    private void DrawEdges(Func<DrawnForecast, DrawnBand> band, Pen pen)
    {
        svg.Polyline(drawing.Forecast.Select(day => scale.At(day.Day, band(day).High)), pen);
        svg.Polyline(drawing.Forecast.Select(day => scale.At(day.Day, band(day).Low)), pen);
    }

    private IEnumerable<PointMm> Around(Func<DrawnForecast, DrawnBand> band) =>
    [
        .. drawing.Forecast.Select(day => scale.At(day.Day, band(day).High)),
        .. drawing.Forecast.Reverse().Select(day => scale.At(day.Day, band(day).Low)),
    ];

    // A wall: hatched on the side on which the tree is out.
    private void DrawTolerance()
    {
        if (drawing.Tolerance is not { } tolerance)
            return;
        svg.Hatch("out", 6, -45);
        foreach (var (limit, outward) in new[] { (tolerance.High, -1), (tolerance.Low, 1) })
        {
            if (!scale.Shows(limit))
                continue;
            var y = scale.Y(limit);
            svg.Hatched([new(scale.Left, y), new(scale.Right, y), new(scale.Right, y + (7 * outward)), new(scale.Left, y + (7 * outward))], "out", "out");
            svg.Line(new(scale.Left, y), new(scale.Right, y), Limit);
        }
    }

    private void DrawLines() =>
        svg.Polyline(drawing.Smoothed.Where(level => level.Day >= scale.First).Select(level => scale.At(level.Day, level.Level)), Curve);

    private void DrawPoints()
    {
        svg.Lines(points.Select(point => (scale.At(point.Day, point.High), scale.At(point.Day, point.Low))), Thin);
        foreach (var point in points)
        {
            var at = scale.At(point.Day, point.Value);
            if (point.IsOutlying)
                svg.Ring(at, 4, "outlying");
            else
                svg.Dot(at, 3.5, "measured");
        }
    }

    private void DrawToday()
    {
        var x = scale.X(drawing.Today);
        svg.Line(new(x, scale.Top - RowPx + 2), new(x, scale.Bottom), TodayLine);
        var words = $"Today {RoundTicks.Short(drawing.Today)}";
        svg.Label(Math.Min(x + 4, frame.WidthPx - 4 - Svg.WidthOf(words)), scale.Top - 5, words);
    }

    private void DrawLabels()
    {
        if (drawing.Tolerance is { } tolerance)
        {
            LabelLimit(tolerance.High, -11, $"over {TrendWords.Number(tolerance.High)}: tree narrow, out");
            LabelLimit(tolerance.Low, 20, $"under {TrendWords.Number(tolerance.Low)}: tree wide, out");
        }
        if (drawing.Forecast.Count > 0)
            LabelBands(drawing.Forecast[^1]);
    }

    private void LabelLimit(double limit, double below, string words)
    {
        if (!scale.Shows(limit))
            return;
        var y = scale.Y(limit) + below;
        svg.Label(scale.Clearest(points, y, Svg.WidthOf(words)), y, words);
    }

    // From the top down, none nearer to the next than a line of text.
    private void LabelBands(DrawnForecast end)
    {
        var next = scale.Top + 4;
        foreach (var (value, words) in new[] { (end.Band95.High, "95 %"), (end.Band80.High, "80 %"), (end.Band50.High, "50 %") })
        {
            var y = Math.Max(scale.Y(value), next);
            svg.Line(new(scale.Right, scale.Y(value)), new(scale.Right + 5, y), Thin);
            svg.Label(scale.Right + 7, y + 4.5, words);
            next = y + 14;
        }
    }

    private Legend LegendOf() => new(
    [
        ((s, at) => { s.Line(new(at.X + 10, at.Y - 7), new(at.X + 10, at.Y + 7), Thin); s.Dot(new(at.X + 10, at.Y), 3.5, "measured"); }, "measured, 95 % bar"),
        .. points.Any(point => point.IsOutlying) ? [((s, at) => s.Ring(new(at.X + 10, at.Y), 4, "outlying"), "outlying")] : Array.Empty<(Action<Svg, PointMm>, string)>(),
        ((s, at) => s.Line(at, new(at.X + 20, at.Y), Curve), "smoothed"),
        ((s, at) => s.Line(at, new(at.X + 20, at.Y), Expected), "expected"),
        .. drawing.Tolerance is { } tolerance ? [((s, at) => s.Line(at, new(at.X + 20, at.Y), Limit), Svg.Cut($"tolerance, {tolerance.SaddleLabel}", frame.WidthPx - 60))] : Array.Empty<(Action<Svg, PointMm>, string)>(),
    ]);

    private double Inside(double x, string words) => Math.Clamp(x, Svg.WidthOf(words) / 2, frame.WidthPx - (Svg.WidthOf(words) / 2));
}
