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
            foreach (var mark in _marks)
                Mark(window, mark);
        });
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
        var down = _reach.RightBottom.Y * .72;
        window.Label(document.Plain, 8, new(1.5, _reach.LeftTop.Y + 4), "spine");
        window.Label(document.Plain, 8, new(_reach.LeftTop.X + 2, -1), "level with the skin over the spine");
        foreach (var (side, x) in new[] { ("left", _reach.LeftTop.X), ("right", _reach.RightBottom.X) })
        {
            Centred(window, document.Bold, 12, new(x * .42, down), $"the horse's {side}");
            Centred(window, document.Plain, 10, new(x * .42, down + 6), $"{station.Station}, tail towards you");
        }
    }

    private static void Centred(ScaleWindow window, Typeface face, double size, PointMm at, string text) =>
        window.Label(face, size, at with { X = at.X - (face.WidthOf(text, size) / PaperSize.PointsPerMm / 2) }, text);

    private void Mark(ScaleWindow window, RegisterMark mark)
    {
        var (x, y) = (mark.At.X, mark.At.Y);
        window.Line(new(x - 4, y), new(x + 4, y), Cross);
        window.Line(new(x, y - 4), new(x, y + 4), Cross);
        window.Line(Enumerable.Range(0, 37).Select(i => Math.SinCos(i * Math.PI / 18)).Select(turn => new PointMm(x + (2.5 * turn.Cos), y + (2.5 * turn.Sin))), Cross);
        window.Label(document.Bold, 8, new(x + 4.5, y + 4), mark.Number.ToString(CultureInfo.InvariantCulture));
    }
}
