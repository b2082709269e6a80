using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>One station seen from behind: the back expected on a day and the tree over it.</summary>
internal sealed class SectionPicture
{
    private const double GridMm = 50;
    private const double RowPx = 18;
    private const double TopPx = 42;
    private const double PanelPx = 6;
    private static readonly Pen Grid = new("grid", 1, "", .18);
    private static readonly Pen BackLine = new("back", 1.6);
    private static readonly Pen BandEdge = new("band80-edge", .8, "2 2");
    private static readonly Pen Face = new("panel", 3);
    private static readonly Pen Bar = new("tree", 3.2);
    private static readonly Pen DepthLine = new("depth", 1, "2 4");
    private static readonly Pen Gap = new("gap", 2);

    private readonly SectionDrawing drawing;
    private readonly PictureFrame frame;
    private readonly SectionScale scale;
    private readonly Legend legend;
    private readonly List<string> captions;
    private readonly Svg svg;

    private SectionPicture(SectionDrawing drawing, PictureFrame frame)
    {
        (this.drawing, this.frame) = (drawing, frame);
        scale = new SectionScale(drawing, frame.WidthPx, TopPx);
        legend = LegendOf();
        captions = [.. drawing.Depths.SelectMany((depth, i) => SectionWords.Wrapped(SectionWords.Compared(i, depth), frame.WidthPx - 20))];
        var height = scale.Bottom + 44 + (captions.Count * RowPx) + legend.HeightAt(frame.WidthPx - 20) + 6;
        svg = new Svg(frame, height, SectionWords.Title(drawing), SectionWords.Describe(drawing));
    }

    /// <summary>Draws it.</summary>
    /// <param name="drawing">What to show.</param>
    /// <param name="frame">Where it is to stand.</param>
    public static string Draw(SectionDrawing drawing, PictureFrame frame) => new SectionPicture(drawing, frame).Draw();

    private string Draw()
    {
        svg.Label(8, 16, Svg.Cut($"{drawing.Station} from behind, {RoundTicks.Short(drawing.On)}, {drawing.HorseName}", frame.WidthPx - 16));
        DrawGrid();
        DrawBand();
        DrawPanel();
        svg.Polyline(drawing.Back.Select(scale.At), BackLine);
        DrawDepths();
        DrawNames();
        var y = scale.Bottom + 52;
        foreach (var caption in captions)
        {
            svg.Label(10, y, caption);
            y += RowPx;
        }
        legend.Draw(svg, 10, y - 12, frame.WidthPx - 20);
        return svg.Finish();
    }

    private void DrawGrid()
    {
        var reach = (int)(scale.HalfMm / GridMm);
        double[] across = [.. Enumerable.Range(-reach, (2 * reach) + 1).Select(i => i * GridMm)];
        double[] down = [.. Enumerable.Range(0, (int)(scale.LowestMm / GridMm) + 1).Select(i => i * GridMm)];
        svg.Lines(
            across.Select(x => (new PointMm(scale.X(x), scale.Top), new PointMm(scale.X(x), scale.Bottom)))
                .Concat(down.Select(y => (new PointMm(scale.Left, scale.Y(y)), new PointMm(scale.Right, scale.Y(y))))),
            Grid);
        foreach (var x in across)
            svg.Label(scale.X(x), scale.Bottom + 16, $"{Math.Abs(x):0}", "middle");
        foreach (var y in down)
            svg.Label(scale.Left - 5, scale.Y(y) + 4.5, $"{y:0}", "end");
        svg.Label(8, scale.Top - 8, "mm down");
        svg.Label(scale.Left, scale.Bottom + 33, "left");
        svg.Label((scale.Left + scale.Right) / 2, scale.Bottom + 33, "mm from the midline", "middle");
        svg.Label(scale.Right, scale.Bottom + 33, "right", "end");
    }

    private void DrawBand()
    {
        // Level, and the panel upright: neither runs along a flank.
        svg.Hatch("band80", 3.5, 90);
        foreach (var sign in new[] { -1, 1 })
        {
            DrawnHalf[] halves = [.. drawing.Band80.Where(half => half.MeanMm * sign > 0).OrderBy(half => half.DepthMm)];
            PointMm[] flank = [.. drawing.Back.Where(point => point.X * sign >= 0).OrderBy(point => point.Y)];
            if (halves.Length == 0 || flank.Length == 0)
                continue;
            PointMm[] near = [.. flank.Select(point => scale.At(point.X + Off(halves, point.Y, half => half.NearMm), point.Y))];
            PointMm[] far = [.. flank.Select(point => scale.At(point.X + Off(halves, point.Y, half => half.FarMm), point.Y))];
            svg.Hatched([.. near, .. far.Reverse()], "band80", "band80");
            svg.Polyline(near, BandEdge);
            svg.Polyline(far, BandEdge);
        }
    }

    // Of the band nothing is known between its depths: straight from one to the next, from nothing over the midline.
    private static double Off(DrawnHalf[] halves, double depth, Func<DrawnHalf, double> end)
    {
        var (fromDepth, from) = (0.0, 0.0);
        foreach (var half in halves)
        {
            var to = end(half) - half.MeanMm;
            if (depth <= half.DepthMm)
                return double.Lerp(from, to, (depth - fromDepth) / (half.DepthMm - fromDepth));
            (fromDepth, from) = (half.DepthMm, to);
        }
        return from;
    }

    private void DrawPanel()
    {
        if (!drawing.IsByWidths)
            svg.Hatch("panel", 4, 0);
        foreach (var face in drawing.Panel)
        {
            PointMm[] lower = [.. face.Select(scale.At)];
            var outward = PanelPx * Math.Sign(face[^1].X);
            svg.Hatched([.. lower, .. lower.Reverse().Select(point => new PointMm(point.X + outward, point.Y - PanelPx))], "panel", "panel-body");
            svg.Polyline(lower, Face);
        }
    }

    private void DrawDepths()
    {
        var next = scale.Top;
        for (var i = 0; i < drawing.Depths.Count; i++)
        {
            var depth = drawing.Depths[i];
            var y = scale.Y(depth.DepthMm);
            svg.Line(new(scale.Left, y), new(scale.Right, y), DepthLine);
            if (drawing.IsByWidths && depth is { Left: { } left, Right: { } right })
                svg.Line(new(scale.X(left.TreeMm), y), new(scale.X(right.TreeMm), y), Bar);
            svg.Lines(depth.Gaps.SelectMany(gap => Marked(gap, y)), Gap);
            next = Math.Max(y, next);
            svg.Label(scale.Right + 6, next + 4.5, SectionWords.Letter(i));
            next += 15;
        }
    }

    private IEnumerable<(PointMm From, PointMm To)> Marked(DrawnGap gap, double y)
    {
        var (back, tree) = (scale.X(gap.BackMm), scale.X(gap.TreeMm));
        yield return (new(back, y), new(tree, y));
        yield return (new(back, y - 5), new(back, y + 5));
        yield return (new(tree, y - 5), new(tree, y + 5));
    }

    private void DrawNames()
    {
        var grid = Enumerable.Range(1, (int)(scale.LowestMm / GridMm)).Select(i => i * GridMm);
        var lines = drawing.Depths.Select(depth => depth.DepthMm).Concat(grid).Select(scale.Y).ToList();
        // Inside the back, between lines.
        for (var y = scale.Bottom - 8; y > scale.Top + 20; y -= 4)
        {
            if (lines.TrueForAll(line => line < y - 15 || line > y + 8))
            {
                svg.Label(scale.X(0), y, "back", "middle");
                break;
            }
        }
        if (drawing.Panel.Count == 0)
            return;
        var face = drawing.Panel[^1];
        var middle = scale.At(face[face.Count / 3]);
        svg.Label(middle.X + 14, Math.Max(scale.Top + 12, middle.Y - 14), "panel");
    }

    private Legend LegendOf() => new(
    [
        .. drawing.Back.Count > 0 ? [((s, at) => s.Line(at, new(at.X + 20, at.Y), BackLine), "back expected")] : Array.Empty<(Action<Svg, PointMm>, string)>(),
        .. drawing.Back.Count > 0 ? [((s, at) => s.Hatched([at with { Y = at.Y - 5 }, new(at.X + 20, at.Y - 5), new(at.X + 20, at.Y + 5), at with { Y = at.Y + 5 }], "band80", "band80"), "80 % band")] : Array.Empty<(Action<Svg, PointMm>, string)>(),
        drawing.IsByWidths
            ? ((s, at) => s.Line(at, new(at.X + 20, at.Y), Bar), Svg.Cut($"tree, {drawing.SaddleLabel}", frame.WidthPx - 60))
            : ((s, at) => s.Line(at, new(at.X + 20, at.Y), Face), Svg.Cut($"panel, {drawing.SaddleLabel}", frame.WidthPx - 60)),
        ((s, at) => s.Lines([(at, new(at.X + 20, at.Y)), (at with { Y = at.Y - 5 }, at with { Y = at.Y + 5 }), (new(at.X + 20, at.Y - 5), new(at.X + 20, at.Y + 5))], Gap), "difference"),
    ]);
}
