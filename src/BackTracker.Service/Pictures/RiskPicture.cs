using System.Globalization;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>What a picture of risk by day shows; plain values.</summary>
/// <param name="Title">Which saddle on which horse.</param>
/// <param name="Days">Today and every day ahead, at least one.</param>
/// <param name="Limit">Probability at which a check is due.</param>
/// <param name="Marks">Checks to come, the first first.</param>
internal sealed record RiskDrawing(string Title, IReadOnlyList<DrawnRisk> Days, double Limit, IReadOnlyList<DrawnMark> Marks)
{
    public DateOnly Today => Days[0].Day;

    public DateOnly Last => Days[^1].Day;
}

/// <summary>Risk of a day.</summary>
/// <param name="Day">The day.</param>
/// <param name="On">Probability of being out on it.</param>
/// <param name="By">Probability of having been out by it.</param>
internal readonly record struct DrawnRisk(DateOnly Day, double On, double By);

/// <summary>The probability that a saddle is out of tolerance, on and by each day.</summary>
internal sealed class RiskPicture
{
    private const double HeightPx = 300;
    private const double LeftPx = 50;
    private const double RightPx = 14;
    private const double RowPx = 17;
    private static readonly Pen Grid = new("grid", 1, "", .18);
    private static readonly Pen By = new("out-by", 2.4);
    private static readonly Pen On = new("out-on", 1.8, "6 4");
    private static readonly Pen Limit = new("limit", 1.6, "10 3 2 3");
    private readonly RiskDrawing drawing;
    private readonly PictureFrame frame;
    private readonly Legend legend;
    private readonly int rows;
    private readonly PlotPlace place;
    private readonly Svg svg;

    private RiskPicture(RiskDrawing drawing, PictureFrame frame)
    {
        (this.drawing, this.frame) = (drawing, frame);
        legend = LegendOf();
        rows = 1 + (drawing.Marks.Count > 0 ? 2 : 0);
        place = new(LeftPx, 26 + (rows * RowPx), frame.WidthPx - RightPx, HeightPx - 42 - legend.HeightAt(frame.WidthPx - 20));
        svg = new Svg(frame, HeightPx, drawing.Title, RiskWords.Describe(drawing));
    }

    /// <summary>Draws it.</summary>
    public static string Draw(RiskDrawing drawing, PictureFrame frame) => new RiskPicture(drawing, frame).Draw();

    private string Draw()
    {
        DrawAxes();
        svg.Line(new(place.Left, Y(drawing.Limit)), new(place.Right, Y(drawing.Limit)), Limit);
        svg.Polyline(drawing.Days.Select(day => new PointMm(X(day.Day), Y(day.On))), On);
        svg.Polyline(drawing.Days.Select(day => new PointMm(X(day.Day), Y(day.By))), By);
        foreach (var mark in PlacedMark.Of(drawing.Marks, X, place.Right, rows))
            mark.Draw(svg, place.Top);
        svg.Line(new(place.Left, place.Top - RowPx + 2), new(place.Left, place.Bottom), new("today", 1.4, "4 2"));
        svg.Label(place.Left + 4, place.Top - 5, $"Today {RoundTicks.Short(drawing.Today)}");
        legend.Draw(svg, 10, place.Bottom + 40, frame.WidthPx - 20);
        return svg.Finish();
    }

    private void DrawAxes()
    {
        double[] shares = [0, .25, .5, .75, 1];
        svg.Label(8, 16, Svg.Cut("Chance of being out (%)", frame.WidthPx - 16));
        svg.Lines(shares.Select(share => (new PointMm(place.Left, Y(share)), new PointMm(place.Right, Y(share)))), Grid);
        foreach (var share in shares)
            svg.Label(place.Left - 6, Y(share) + 4.5, (100 * share).ToString("0", CultureInfo.InvariantCulture), "end");
        var days = RoundTicks.Of(drawing.Today, drawing.Last, (int)((place.Right - place.Left) / 62));
        svg.Lines(days.Select(day => (new PointMm(X(day), place.Bottom), new PointMm(X(day), place.Bottom + 4))).Prepend((new(place.Left, place.Bottom), new(place.Right, place.Bottom))), new("axis", 1.2));
        foreach (var day in days)
            svg.Label(Math.Min(X(day), frame.WidthPx - (Svg.WidthOf(RoundTicks.Short(day)) / 2)), place.Bottom + 18, RoundTicks.Short(day), "middle");
        var years = drawing.Today.Year == drawing.Last.Year ? $"Day in {drawing.Today.Year}" : $"Day, {drawing.Today.Year} to {drawing.Last.Year}";
        svg.Label((place.Left + place.Right) / 2, place.Bottom + 34, years, "middle");
    }

    private double X(DateOnly day) => place.Left + ((place.Right - place.Left) * (day.DayNumber - drawing.Today.DayNumber) / Math.Max(1, drawing.Last.DayNumber - drawing.Today.DayNumber));

    private double Y(double share) => place.Bottom - ((place.Bottom - place.Top) * share);

    private Legend LegendOf() => new(
    [
        ((s, at) => s.Line(at, new(at.X + 20, at.Y), By), "out by the day"),
        ((s, at) => s.Line(at, new(at.X + 20, at.Y), On), "out on the day"),
        ((s, at) => s.Line(at, new(at.X + 20, at.Y), Limit), $"a check is due, {Engine.Words.Percent(drawing.Limit)}"),
    ]);
}
