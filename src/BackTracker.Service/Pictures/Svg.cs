using System.Globalization;
using System.Text;
using System.Xml;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>Where a picture is to stand.</summary>
/// <param name="WidthPx">Its width; text keeps its size, so that a narrow picture is laid out anew and not shrunk.</param>
/// <param name="IdPrefix">Begins every id in it, so that several pictures can stand on one page.</param>
internal readonly record struct PictureFrame(int WidthPx, string IdPrefix)
{
    public const int LeastWidthPx = 280;
    public const int MostWidthPx = 1600;
    public const int UsualWidthPx = 640;
    private const int OnPageWidthPx = 360;

    /// <summary>On a page: laid out for a phone, and drawn larger where there is room.</summary>
    public static PictureFrame OnPage(string idPrefix) => new(OnPageWidthPx, idPrefix);
}

/// <summary>How a line is drawn.</summary>
/// <param name="Class">Class name, by which a page can restyle it.</param>
/// <param name="WidthPx">Thickness.</param>
/// <param name="Dash">Dash pattern; empty for an unbroken line.</param>
/// <param name="Opacity">1 is full ink.</param>
internal readonly record struct Pen(string Class, double WidthPx, string Dash = "", double Opacity = 1);

/// <summary>
/// Writes one SVG picture in one ink: everything takes the colour of the root, filled places that of the class "paper". Presentation
/// attributes and class names only, because pages allow no inline style and no script. Points are in px here.
/// </summary>
internal sealed class Svg
{
    public const int FontPx = 13;
    private const string Ink = "currentColor";
    private const string Paper = "#fff";
    private readonly StringBuilder text = new();
    private readonly List<(double X, double Y, string Words, string Anchor)> labels = [];
    private readonly XmlWriter writer;
    private readonly string prefix;

    /// <summary>Begins a picture.</summary>
    /// <param name="frame">Where it is to stand.</param>
    /// <param name="heightPx">Its height.</param>
    /// <param name="title">What it is, short.</param>
    /// <param name="description">What it shows, for who cannot see it.</param>
    public Svg(PictureFrame frame, double heightPx, string title, string description)
    {
        prefix = frame.IdPrefix;
        writer = XmlWriter.Create(text, new XmlWriterSettings { OmitXmlDeclaration = true });
        writer.WriteStartElement("svg", "http://www.w3.org/2000/svg");
        Attributes(
            ("class", "picture"), ("viewBox", $"0 0 {frame.WidthPx} {Number(heightPx)}"), ("width", frame.WidthPx), ("height", heightPx), ("role", "img"),
            ("aria-labelledby", $"{Id("title")} {Id("desc")}"), ("font-family", "system-ui, sans-serif"), ("font-size", FontPx), ("color", "#1a1a1a"), ("fill", Ink));
        Words("title", title, ("id", Id("title")));
        Words("desc", description, ("id", Id("desc")));
        Empty("rect", ("class", "paper"), ("width", frame.WidthPx), ("height", heightPx), ("fill", Paper));
    }

    /// <summary>The width a text takes at most, px: an estimate on the safe side, since nobody knows the reader's font.</summary>
    public static double WidthOf(string words) => words.Length * FontPx * .58;

    /// <summary>The text, cut where it would be wider.</summary>
    public static string Cut(string words, double widthPx)
    {
        var most = Math.Max(2, (int)(widthPx / (FontPx * .58)));
        return words.Length <= most ? words : words[..(most - 1)].TrimEnd() + "\u2026";
    }

    /// <summary>An id of this picture.</summary>
    public string Id(string name) => $"{prefix}-{name}";

    /// <summary>Hatching, to be named as the fill of an area.</summary>
    /// <param name="name">Its name in this picture.</param>
    /// <param name="gapPx">Between two lines.</param>
    /// <param name="turnDeg">Which way they run.</param>
    public void Hatch(string name, double gapPx, double turnDeg)
    {
        Start("pattern", ("id", Id(name)), ("width", gapPx), ("height", gapPx), ("patternUnits", "userSpaceOnUse"), ("patternTransform", $"rotate({Number(turnDeg)})"));
        Line(new(0, 0), new(0, gapPx), new("hatch", 1.2, "", .75));
        writer.WriteEndElement();
    }

    public void Line(PointMm from, PointMm to, Pen pen) =>
        Empty("line", [("x1", from.X), ("y1", from.Y), ("x2", to.X), ("y2", to.Y), .. Stroke(pen)]);

    /// <summary>Several lines of one kind.</summary>
    public void Lines(IEnumerable<(PointMm From, PointMm To)> lines, Pen pen) =>
        Empty("path", [("d", string.Concat(lines.Select(line => $"M{Point(line.From)}L{Point(line.To)}"))), .. Stroke(pen)]);

    public void Polyline(IEnumerable<PointMm> points, Pen pen) =>
        Empty("polyline", [("points", Points(points)), ("fill", "none"), ("stroke-linejoin", "round"), .. Stroke(pen)]);

    /// <summary>A closed area, filled with a hatching of this picture.</summary>
    public void Hatched(IEnumerable<PointMm> points, string hatch, string cssClass) =>
        Empty("polygon", ("class", cssClass), ("points", Points(points)), ("fill", $"url(#{Id(hatch)})"));

    /// <summary>Level bars of one kind, filled with a hatching of this picture: left upper corner, width and height of each.</summary>
    public void HatchedBars(IEnumerable<(PointMm At, double Width, double Height)> bars, string hatch, string cssClass) => Empty(
        "path", ("class", cssClass), ("d", string.Concat(bars.Select(bar => $"M{Point(bar.At)}h{Number(bar.Width)}v{Number(bar.Height)}h{Number(-bar.Width)}z"))), ("fill", $"url(#{Id(hatch)})"));

    /// <summary>Unbroken lines of one kind through several points each.</summary>
    public void Curves(IEnumerable<IReadOnlyList<PointMm>> curves, Pen pen) => Empty(
        "path", [("d", string.Concat(curves.Select(curve => $"M{string.Join('L', curve.Select(Point))}"))), ("fill", "none"), ("stroke-linejoin", "round"), .. Stroke(pen)]);

    /// <summary>A closed area, filled with a thinned ink.</summary>
    public void Toned(IEnumerable<PointMm> points, double opacity, string cssClass) =>
        Empty("polygon", ("class", cssClass), ("points", Points(points)), ("fill", Ink), ("fill-opacity", opacity));

    public void Dot(PointMm at, double radiusPx, string cssClass) =>
        Empty("circle", ("class", cssClass), ("cx", at.X), ("cy", at.Y), ("r", radiusPx), ("fill", Ink));

    /// <summary>Many dots of one kind.</summary>
    public void Dots(IEnumerable<PointMm> places, double radiusPx, string cssClass) => Empty(
        "path", ("class", cssClass), ("d", string.Concat(places.Select(place => $"M{Point(place)}h0"))), ("stroke", Ink), ("stroke-width", 2 * radiusPx), ("stroke-linecap", "round"));

    public void Ring(PointMm at, double radiusPx, string cssClass) =>
        Empty("circle", ("class", $"{cssClass} paper"), ("cx", at.X), ("cy", at.Y), ("r", radiusPx), ("fill", Paper), ("stroke", Ink), ("stroke-width", 1.6));

    /// <summary>Words at a place: written over all else, on a rim of paper that keeps them readable.</summary>
    public void Label(double x, double y, string words, string anchor = "start") => labels.Add((x, y, words, anchor));

    /// <summary>The finished picture.</summary>
    public string Finish()
    {
        Start("g", ("class", "halo"), ("stroke", Paper), ("stroke-width", 3), ("stroke-linejoin", "round"), ("paint-order", "stroke"));
        foreach (var (x, y, words, anchor) in labels)
            Words("text", words, [("x", x), ("y", y), .. anchor == "start" ? Array.Empty<(string, object)>() : [("text-anchor", anchor)]]);
        writer.WriteEndElement();
        writer.WriteEndElement();
        writer.Flush();
        return text.ToString();
    }

    private void Start(string name, params ReadOnlySpan<(string Name, object Value)> attributes)
    {
        writer.WriteStartElement(name);
        Attributes(attributes);
    }

    private void Empty(string name, params ReadOnlySpan<(string Name, object Value)> attributes)
    {
        Start(name, attributes);
        writer.WriteEndElement();
    }

    private void Words(string name, string words, params ReadOnlySpan<(string Name, object Value)> attributes)
    {
        Start(name, attributes);
        writer.WriteString(Clean(words));
        writer.WriteEndElement();
    }

    private void Attributes(params ReadOnlySpan<(string Name, object Value)> attributes)
    {
        foreach (var (name, value) in attributes)
            writer.WriteAttributeString(name, value switch { double number => Number(number), int whole => Number(whole), _ => Clean((string)value) });
    }

    private static (string, object)[] Stroke(Pen pen) =>
    [
        ("class", pen.Class), ("stroke", Ink), ("stroke-width", pen.WidthPx),
        .. pen.Dash.Length > 0 ? [("stroke-dasharray", pen.Dash)] : Array.Empty<(string, object)>(),
        .. pen.Opacity < 1 ? [("opacity", pen.Opacity)] : Array.Empty<(string, object)>(),
    ];

    private static string Points(IEnumerable<PointMm> points) => string.Join(' ', points.Select(Point));

    private static string Point(PointMm point) => $"{Number(point.X)},{Number(point.Y)}";

    // Adding 0 turns -0 into 0.
    private static string Number(double value) => (Math.Round(value, Math.Abs(value) < 1 ? 2 : 1) + 0.0).ToString("0.##", CultureInfo.InvariantCulture);

    // XML knows no way to write most control characters and no half of a pair.
    private static string Clean(string words)
    {
        var clean = new StringBuilder(words.Length);
        foreach (var rune in words.EnumerateRunes())
            clean.Append(rune.Value < 0x20 || rune.Value is 0xFFFE or 0xFFFF ? " " : rune.ToString());
        return clean.ToString();
    }
}
