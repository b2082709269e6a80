using BackTracker.Engine.Measures;

namespace BackTracker.Service.Paper;

/// <summary>A part of a page in which a drawing lies at true scale. The drawing is in mm, y downwards.</summary>
/// <param name="document">The document.</param>
/// <param name="page">The page.</param>
/// <param name="box">The part of it.</param>
/// <param name="leftTop">What of the drawing lies in its upper left corner.</param>
internal sealed class ScaleWindow(PaperDocument document, int page, PaperBox box, PointMm leftTop)
{
    /// <summary>Where a point of the drawing lies on the page.</summary>
    public PaperPoint At(PointMm point) => new(box.Left + ((point.X - leftTop.X) * PaperSize.PointsPerMm), box.Top - ((point.Y - leftTop.Y) * PaperSize.PointsPerMm));

    /// <summary>Whether a point of the drawing lies in it.</summary>
    public bool Shows(PointMm point) => At(point) is var at && at.X >= box.Left && at.X <= box.Right && at.Y >= box.Bottom && at.Y <= box.Top;

    public void Line(IEnumerable<PointMm> points, Stroke stroke) => document.Line(page, points.Select(At), stroke);

    public void Line(PointMm from, PointMm to, Stroke stroke) => Line([from, to], stroke);

    public void Area(IEnumerable<PointMm> points, double grey) => document.Area(page, points.Select(At), grey);

    /// <summary>Writes a label on one line, its foot at the point; left out where it would be cut off.</summary>
    public void Label(Typeface face, double size, PointMm at, string text)
    {
        var (readable, foot) = (WinAnsi.Readable(text), At(at));
        if (foot.X >= box.Left && foot.X + face.WidthOf(readable, size) <= box.Right && foot.Y >= box.Bottom && foot.Y + size <= box.Top)
            document.Write(page, face, size, foot.X, foot.Y, readable);
    }

    /// <summary>Draws so that nothing is seen outside of it.</summary>
    public void Within(Action draw) => document.Within(page, box, draw);
}
