using System.Globalization;
using UglyToad.PdfPig.Content;
using UglyToad.PdfPig.Core;
using UglyToad.PdfPig.Graphics;

namespace BackTracker.Service.Tests.Templates;

/// <summary>The lines of a page of a template, in mm from its lower left corner.</summary>
internal sealed class ReadTemplate
{
    private const double MmPerPoint = 25.4 / 72;
    private readonly List<(IReadOnlyList<(double X, double Y)> Points, PdfPath Path)> _lines;

    private readonly IReadOnlyList<Letter> _letters;

    public ReadTemplate(Page page)
    {
        _letters = page.Letters;
        _lines = [.. page.Paths.Where(path => path.IsStroked).SelectMany(path => path.Select(part => (PointsOf(part), path)))];
        Filled = [.. page.Paths.Where(path => path.IsFilled).SelectMany(path => path.Select(PointsOf))];
        Curves = [.. _lines.Where(line => line.Points.Count > 40 && !IsRing(line.Points)).Select(line => line.Points)];
        (Width, Height) = (page.Width * MmPerPoint, page.Height * MmPerPoint);
    }

    public double Width { get; }

    public double Height { get; }

    /// <summary>Lines through many points: the mean of the traces, then the expected shape.</summary>
    public IReadOnlyList<IReadOnlyList<(double X, double Y)>> Curves { get; }

    public IReadOnlyList<IReadOnlyList<(double X, double Y)>> Filled { get; }

    /// <summary>Where both rulers begin.</summary>
    public (double X, double Y) RulerCorner
    {
        get
        {
            var level = Straight.Single(line => Math.Abs(line.From.Y - line.To.Y) < 1e-3 && Math.Abs(Math.Abs(line.To.X - line.From.X) - 100) < 1e-3);
            var upright = Straight.Single(line => Math.Abs(line.From.X - line.To.X) < 1e-3 && Math.Abs(Math.Abs(line.To.Y - line.From.Y) - 100) < 1e-3);
            Assert.Equal(level.From, upright.From);
            return level.From;
        }
    }

    /// <summary>Where the skin over the spine lies: the broken axes cross there.</summary>
    public (double X, double Y) Spine
    {
        get
        {
            var axes = _lines.Where(line => line.Path.LineDashPattern is { Array.Count: > 0 } && line.Points.Count == 2).Select(line => line.Points).ToList();
            return (axes.Single(axis => axis[0].X == axis[1].X)[0].X, axes.Single(axis => axis[0].Y == axis[1].Y)[0].Y);
        }
    }

    /// <summary>Crosses with arms of 4 mm, by the numbers below them.</summary>
    public IReadOnlyDictionary<int, (double X, double Y)> Crosses =>
        Straight.Where(line => line.From.Y == line.To.Y && Math.Abs(line.To.X - line.From.X - 8) < 1e-3)
            .Select(line => (X: (line.From.X + line.To.X) / 2, line.From.Y))
            .Where(middle => Straight.Any(line => line.From.X == line.To.X && Math.Abs(line.From.X - middle.X) < 1e-3 && Math.Abs(((line.From.Y + line.To.Y) / 2) - middle.Y) < 1e-3 && Math.Abs(Math.Abs(line.To.Y - line.From.Y) - 8) < 1e-3))
            .ToDictionary(NumberBelow);

    /// <summary>The window in which the drawing is seen.</summary>
    public (double Left, double Bottom, double Right, double Top) Window
    {
        get
        {
            var frame = _lines.Single(line => line.Points.Count == 5 && line.Points[0] == line.Points[4]).Points;
            return (frame.Min(point => point.X), frame.Min(point => point.Y), frame.Max(point => point.X), frame.Max(point => point.Y));
        }
    }

    private IEnumerable<((double X, double Y) From, (double X, double Y) To)> Straight => _lines.Where(line => line.Points.Count == 2).Select(line => (line.Points[0], line.Points[1]));

    private int NumberBelow((double X, double Y) cross) => int.Parse(
        string.Concat(_letters.Where(letter => char.IsAsciiDigit(letter.Value[0])).Select(letter => (letter.Value, At: Mm(letter.StartBaseLine)))
            .Where(letter => Math.Abs(letter.At.X - cross.X) < 4 && Math.Abs(cross.Y - letter.At.Y - 7.5) < .1).OrderBy(letter => letter.At.X).Select(letter => letter.Value)),
        CultureInfo.InvariantCulture);

    private static bool IsRing(IReadOnlyList<(double X, double Y)> points) => double.Hypot(points[0].X - points[^1].X, points[0].Y - points[^1].Y) < 1e-3;

    private static IReadOnlyList<(double X, double Y)> PointsOf(PdfSubpath part)
    {
        var points = new List<(double, double)>();
        foreach (var command in part.Commands)
        {
            if (command is PdfSubpath.Move move)
                points.Add(Mm(move.Location));
            else if (command is PdfSubpath.Line line)
                points.Add(Mm(line.To));
        }
        return points;
    }

    private static (double X, double Y) Mm(PdfPoint point) => (point.X * MmPerPoint, point.Y * MmPerPoint);
}
