using System.Globalization;
using BackTracker.Engine.Measures;
using BackTracker.Service.Paper;

namespace BackTracker.Service.Features.Templates;

/// <summary>A station as it is drawn: the mean of its traces with their spread, the expected shape, spine and level line, and crosses to join sheets by.</summary>
/// <param name="document">The document.</param>
/// <param name="station">The station.</param>
/// <param name="tiles">The pieces it lies in.</param>
internal sealed class TemplateDrawing(PaperDocument document, TemplateStation station, TemplateTiles tiles)
{
    private const string Left = "‹ the horse's left";
    private const string Right = "the horse's right ›";
    private const double AroundMm = 9;
    private const double DepthStepMm = 30;
    private static readonly Stroke Curve = new(.7);
    private static readonly Stroke Expected = new(.7) { Dashes = [7, 3] };
    private static readonly Stroke Axis = new(.4, .55) { Dashes = [2, 2] };
    private static readonly Stroke Tick = new(.5, .55);
    private static readonly Stroke Cross = new(.4);
    private readonly IReadOnlyList<RegisterMark> _marks = tiles.Marks([.. station.Drawn]);
    private readonly (PointMm LeftTop, PointMm RightBottom) _reach = Reach(station);

    /// <summary>How far the drawing reaches with its labels, mm.</summary>
    public static (PointMm LeftTop, PointMm RightBottom) Reach(TemplateStation station)
    {
        PointMm[] drawn = [.. station.Drawn];
        return (
            new(drawn.Min(point => point.X) - AroundMm, Math.Min(0, drawn.Min(point => point.Y)) - AroundMm),
            new(drawn.Max(point => point.X) + AroundMm, drawn.Max(point => point.Y) + AroundMm));
    }

    public void Draw(int page, PaperBox box, int tile)
    {
        var window = new ScaleWindow(document, page, box, tiles.CornerOf(tile));
        window.Within(() =>
        {
            window.Area([.. station.Mean.Edge(1), .. station.Mean.Edge(-1).Reverse()], .82);
            Axes(window);
            window.Line(station.Mean.Points, Curve);
            if (station.Expected is { } expected)
                window.Line(expected.Curve, Expected);
            Names(window);
            foreach (var mark in _marks.Where(mark => window.Shows(mark.At)))
                Mark(window, mark);
        });
        Sides(page, box);
    }

    private void Axes(ScaleWindow window)
    {
        window.Line(new(0, _reach.LeftTop.Y), new(0, _reach.RightBottom.Y), Axis);
        window.Line(new(_reach.LeftTop.X, 0), new(_reach.RightBottom.X, 0), Axis);
        for (var depth = DepthStepMm; depth < _reach.RightBottom.Y - AroundMm + 1; depth += DepthStepMm)
        {
            window.Line(new(-2, depth), new(2, depth), Tick);
            window.Label(document.Plain, 7.5, new(3, depth + 1), string.Create(CultureInfo.InvariantCulture, $"{depth:0} mm down"));
        }
    }

    private void Names(ScaleWindow window)
    {
        window.Label(document.Plain, 8, new(1.5, _reach.LeftTop.Y + 4), "spine");
        window.Label(document.Plain, 8, new(_reach.LeftTop.X + 2, -1), "level with the skin over the spine");
    }

    /// <summary>Which side is which, in the upper corners of every page, however little of the back it shows.</summary>
    private void Sides(int page, PaperBox box)
    {
        var place = $"{station.Station}, tail towards you";
        document.Write(page, document.Bold, 11, box.Left + 6, box.Top - 14, Left);
        document.Write(page, document.Plain, 9, box.Left + ((box.Width - document.Plain.WidthOf(place, 9)) / 2), box.Bottom + 6, place);
        document.Write(page, document.Bold, 11, box.Right - 6 - document.Bold.WidthOf(Right, 11), box.Top - 14, Right);
    }

    private void Mark(ScaleWindow window, RegisterMark mark)
    {
        var (x, y) = (mark.At.X, mark.At.Y);
        window.Line(new(x - 4, y), new(x + 4, y), Cross);
        window.Line(new(x, y - 4), new(x, y + 4), Cross);
        window.Line(Enumerable.Range(0, 37).Select(i => Math.SinCos(i * Math.PI / 18)).Select(turn => new PointMm(x + (2.5 * turn.Cos), y + (2.5 * turn.Sin))), Cross);
        var number = mark.Number.ToString(CultureInfo.InvariantCulture);
        window.Label(document.Bold, 8, new(x - (document.Bold.WidthOf(number, 8) / PaperSize.PointsPerMm / 2), y + 7.5), number);
    }
}
