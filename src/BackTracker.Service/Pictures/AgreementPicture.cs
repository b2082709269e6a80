using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Service.Pictures;

/// <summary>What a picture of agreement shows.</summary>
/// <param name="Title">What is compared.</param>
/// <param name="Difference">Which less which.</param>
/// <param name="Unit">Unit of both axes; "-" where there is none.</param>
/// <param name="Pairs">What is compared, at least 2.</param>
internal sealed record AgreementDrawing(string Title, string Difference, string Unit, IReadOnlyList<ComparedPair> Pairs)
{
    public Agreement Agreement { get; } = Agreement.Of(Pairs);

    public string WithUnit(string number) => Unit == "-" ? number : $"{number} {Unit}";
}

/// <summary>Differences of pairs against their means, with the mean difference and the limits of agreement (Bland and Altman 1986, Lancet i:307-310).</summary>
internal sealed class AgreementPicture
{
    private const int HeightPx = 320;
    private const double RightPx = 12;
    private const double HighestPx = 30;
    private const double DotPx = 3;
    private static readonly Pen Grid = new("grid", 1, "", .18);
    private static readonly Pen Zero = new("zero", 1);
    private static readonly Pen Bias = new("bias", 2);
    private static readonly Pen Limit = new("limit", 1.8, "8 4");
    private readonly AgreementDrawing drawing;
    private readonly PictureFrame frame;
    private readonly Legend legend;
    private readonly (double Low, double High) across;
    private readonly (double Low, double High) up;
    private readonly IReadOnlyList<double> values;
    private readonly PlotPlace place;
    private readonly Svg svg;

    private AgreementPicture(AgreementDrawing drawing, PictureFrame frame)
    {
        (this.drawing, this.frame) = (drawing, frame);
        var (low, high) = (drawing.Agreement.LowLimit(), drawing.Agreement.HighLimit());
        across = Roomy(drawing.Pairs.Min(pair => pair.Mean), drawing.Pairs.Max(pair => pair.Mean));
        up = Roomy(Math.Min(low.Low, drawing.Pairs.Min(pair => pair.Difference)), Math.Max(high.High, drawing.Pairs.Max(pair => pair.Difference)));
        values = RoundTicks.Of(up.Low, up.High, 6);
        legend = LegendOf();
        place = new(
            values.Max(value => Svg.WidthOf(AgreementWords.Number(value))) + 14, HighestPx, frame.WidthPx - RightPx, HeightPx - 42 - legend.HeightAt(frame.WidthPx - 20));
        svg = new Svg(frame, HeightPx, drawing.Title, AgreementWords.Describe(drawing));
    }

    /// <summary>Draws it.</summary>
    public static string Draw(AgreementDrawing drawing, PictureFrame frame) => new AgreementPicture(drawing, frame).Draw();

    private string Draw()
    {
        DrawAxes();
        svg.Hatch("between", 5, 45);
        foreach (var between in new[] { drawing.Agreement.LowLimit(), drawing.Agreement.HighLimit() })
        {
            svg.Hatched(Bar(between), "between", "between-limit");
            DrawLevel(between.Value, Limit);
        }
        svg.Toned(Bar(drawing.Agreement.Offset), .25, "between-bias");
        DrawLevel(drawing.Agreement.Bias, Bias);
        svg.Dots(drawing.Pairs.Select(pair => At(pair.Mean, pair.Difference)), DotPx, "pairs");
        foreach (var (name, between) in AgreementWords.Levels(drawing.Agreement))
            LabelLevel(Y(between.Value) - 5, $"{name} {drawing.WithUnit(AgreementWords.Signed(between.Value))}");
        legend.Draw(svg, 10, place.Bottom + 40, frame.WidthPx - 20);
        return svg.Finish();
    }

    private void DrawAxes()
    {
        svg.Label(8, 16, Svg.Cut($"{drawing.Difference} ({drawing.Unit})", frame.WidthPx - 16));
        svg.Lines(values.Select(value => (At(across.Low, value), At(across.High, value))), Grid);
        if (up.Low < 0 && up.High > 0)
            DrawLevel(0, Zero);
        foreach (var value in values)
            svg.Label(place.Left - 6, Y(value) + 4.5, AgreementWords.Number(value), "end");
        var means = RoundTicks.Of(across.Low, across.High, (int)((place.Right - place.Left) / 60));
        svg.Lines(means.Select(mean => (new PointMm(X(mean), place.Bottom), new PointMm(X(mean), place.Bottom + 4))).Prepend((new(place.Left, place.Bottom), new(place.Right, place.Bottom))), new("axis", 1.2));
        foreach (var mean in means)
            svg.Label(Math.Min(X(mean), frame.WidthPx - (Svg.WidthOf(AgreementWords.Number(mean)) / 2)), place.Bottom + 17, AgreementWords.Number(mean), "middle");
        svg.Label((place.Left + place.Right) / 2, place.Bottom + 34, $"Mean of the two ({drawing.Unit})", "middle");
    }

    // At whichever end it covers fewer dots.
    private void LabelLevel(double y, string words)
    {
        var width = Svg.WidthOf(words);
        int Covered(double left) => drawing.Pairs.Count(pair => X(pair.Mean) > left - 4 && X(pair.Mean) < left + width + 4 && Y(pair.Difference) < y + 4 && Y(pair.Difference) > y - 14);
        svg.Label(new[] { place.Left + 4, place.Right - width - 4 }.MinBy(Covered), y, words);
    }

    private void DrawLevel(double value, Pen pen) => svg.Line(At(across.Low, value), At(across.High, value), pen);

    private PointMm[] Bar(Between between) =>
        [At(across.Low, between.High), At(across.High, between.High), At(across.High, between.Low), At(across.Low, between.Low)];

    private PointMm At(double mean, double difference) => new(X(mean), Y(difference));

    private double X(double mean) => place.Left + ((place.Right - place.Left) * (mean - across.Low) / (across.High - across.Low));

    private double Y(double difference) => place.Bottom - ((place.Bottom - place.Top) * (difference - up.Low) / (up.High - up.Low));

    // All the same still wants a scale.
    private static (double Low, double High) Roomy(double low, double high)
    {
        var room = Math.Max(.08 * (high - low), .001 * Math.Max(1, Math.Abs(high)));
        return (low - room, high + room);
    }

    private static Legend LegendOf() => new(
    [
        ((s, at) => s.Dot(new(at.X + 10, at.Y), DotPx, "pair"), "a pair"),
        ((s, at) => s.Line(at, new(at.X + 20, at.Y), Bias), "mean difference"),
        ((s, at) => s.Line(at, new(at.X + 20, at.Y), Limit), "limits of agreement"),
        ((s, at) => s.HatchedBars([(new(at.X, at.Y - 6), 20, 12)], "between", "between-limit"), "their 95 % intervals"),
    ]);
}
