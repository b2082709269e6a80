using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>A saddle under its rider from above, beside a tree that follows the back: hatching and lines of equal pressure in one ink.</summary>
internal sealed class ContactPicture
{
    private const double Nothing = .02;
    private const double Even = 1;
    private const double Hard = 1.5;
    private const double TopPx = 62;
    private const double RowPx = 18;
    private const double MostPxPerMm = 1;
    private const double BesidePx = 20;
    private const double RulerMm = 100;
    private static readonly double[] Levels = [.5, Even, Hard, 2, 2.5, 3, 4];
    private static readonly Pen Outline = new("panel-outline", 1, "", .6);
    private static readonly Pen Contour = new("contour", 1.1);
    private static readonly Pen Ruler = new("ruler", 1.4);
    private readonly ContactDrawing drawing;
    private readonly PictureFrame frame;
    private readonly Legend legend;
    private readonly IReadOnlyList<string> captions;
    private readonly double pxPerMm;
    private readonly Svg svg;

    private ContactPicture(ContactDrawing drawing, PictureFrame frame)
    {
        (this.drawing, this.frame) = (drawing, frame);
        var half = drawing.Plans.SelectMany(plan => plan.Sides).SelectMany(side => side.Strips).Max(strip => Math.Abs(DrawnPanel.EdgesOf(strip).OuterMm));
        pxPerMm = Math.Min(MostPxPerMm, ((frame.WidthPx / 2) - BesidePx) / (2 * half));
        legend = LegendOf();
        captions = ContactWords.Captions(drawing, frame.WidthPx - 20);
        svg = new Svg(frame, Bottom + 48 + (captions.Count * RowPx) + legend.HeightAt(frame.WidthPx - 20) + 6, ContactWords.Title(drawing), ContactWords.Describe(drawing));
    }

    private double Bottom => TopPx + (drawing.Plans.Max(plan => plan.LengthMm) * pxPerMm);

    /// <summary>Draws it.</summary>
    /// <param name="drawing">What to show.</param>
    /// <param name="frame">Where it is to stand.</param>
    public static string Draw(ContactDrawing drawing, PictureFrame frame) => new ContactPicture(drawing, frame).Draw();

    private string Draw()
    {
        svg.Hatch("even", 6, 90);
        svg.Hatch("hard", 3, 90);
        svg.Hatch("off", 7, 45);
        svg.Label(8, 16, Svg.Cut($"From above, {RoundTicks.Short(drawing.On)}, {drawing.HorseName}", frame.WidthPx - 16));
        foreach (var (plan, i) in drawing.Plans.Select((plan, i) => (plan, i)))
            DrawPlan(plan, frame.WidthPx * ((2 * i) + 1) / 4.0);
        svg.Lines([(new(10, Bottom + 16), new(10 + (RulerMm * pxPerMm), Bottom + 16)), (new(10, Bottom + 12), new(10, Bottom + 20)), (new(10 + (RulerMm * pxPerMm), Bottom + 12), new(10 + (RulerMm * pxPerMm), Bottom + 20))], Ruler);
        svg.Label(16 + (RulerMm * pxPerMm), Bottom + 20, $"{RulerMm:0} mm");
        var y = Bottom + 46;
        foreach (var caption in captions)
        {
            svg.Label(10, y, caption);
            y += RowPx;
        }
        legend.Draw(svg, 10, y - 12, frame.WidthPx - 20);
        return svg.Finish();
    }

    private void DrawPlan(DrawnPlan plan, double middlePx)
    {
        svg.Label(middlePx, 36, plan.Name, "middle");
        svg.Label(middlePx, 54, "front", "middle");
        foreach (var side in plan.Sides)
        {
            Bars(side, middlePx, "even", pressure => pressure is >= Even and < Hard, Even, Hard);
            Bars(side, middlePx, "hard", pressure => pressure >= Hard, Hard);
            Bars(side, middlePx, "off", pressure => pressure < Nothing, Nothing);
            svg.Polyline(Around(side, middlePx), Outline);
            PointMm[][] points = [.. side.Strips.Select((strip, i) => strip.Select(patch => At(patch.LateralMm, (i + .5) * side.StripMm, middlePx)).ToArray())];
            double[][] pressures = [.. side.Strips.Select(strip => strip.Select(patch => patch.Pressure).ToArray())];
            svg.Curves(Levels.SelectMany(level => ContourLines.Of(points, pressures, level)), Contour);
        }
        svg.Ring(At(plan.RiderRightMm, .5 * plan.LengthMm, middlePx), 4, "rider");
    }

    private void Bars(DrawnPanel side, double middlePx, string hatch, Func<double, bool> isIn, params double[] limits)
    {
        var bars = from row in side.Strips.Select((strip, i) => (strip, i))
                   from stretch in PressureBands.Of(row.strip, isIn, limits)
                   let left = Math.Min(stretch.FromMm, stretch.ToMm)
                   select (At(left, row.i * side.StripMm, middlePx), Math.Abs(stretch.ToMm - stretch.FromMm) * pxPerMm, side.StripMm * pxPerMm);
        var all = bars.ToList();
        if (all.Count > 0)
            svg.HatchedBars(all, hatch, $"press-{hatch}");
    }

    private IEnumerable<PointMm> Around(DrawnPanel side, double middlePx)
    {
        PointMm[] Edge(Func<(double InnerMm, double OuterMm), double> edge) => [.. side.Strips.Select((strip, i) => At(edge(DrawnPanel.EdgesOf(strip)), (i + .5) * side.StripMm, middlePx))];
        PointMm[] inner = Edge(edges => edges.InnerMm), outer = Edge(edges => edges.OuterMm);
        var (front, rear) = (TopPx, TopPx + (side.Strips.Count * side.StripMm * pxPerMm));
        return [inner[0] with { Y = front }, .. inner, inner[^1] with { Y = rear }, outer[^1] with { Y = rear }, .. outer.Reverse(), outer[0] with { Y = front }, inner[0] with { Y = front }];
    }

    private PointMm At(double lateralMm, double behindFrontMm, double middlePx) => new(middlePx + (lateralMm * pxPerMm), TopPx + (behindFrontMm * pxPerMm));

    private static Legend LegendOf()
    {
        (Action<Svg, PointMm>, string) Hatched(string hatch, string words) =>
            ((s, at) => s.HatchedBars([(at with { Y = at.Y - 5 }, 20, 10)], hatch, $"press-{hatch}"), words);
        return new(
        [
            Hatched("even", $"{Even:0} to {Hard:0.0} times"), Hatched("hard", $"over {Hard:0.0} times"), Hatched("off", "no contact"),
            ((s, at) => s.Line(at, new(at.X + 20, at.Y), Contour), "0.5, 1, 1.5, 2 ... times"),
            ((s, at) => s.Ring(new(at.X + 10, at.Y), 4, "rider"), "rider"),
        ]);
    }
}
