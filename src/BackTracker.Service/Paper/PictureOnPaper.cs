using System.Globalization;
using System.Xml.Linq;

namespace BackTracker.Service.Paper;

/// <summary>
/// Sets a picture of ours as lines, areas and text of the page: what <see cref="Pictures.Svg"/> writes, and no other SVG. A hatched area
/// becomes a light grey one.
/// </summary>
internal sealed class PictureOnPaper
{
    private const double HatchGrey = .9;
    private const double Ink = .1;
    private const int CircleCorners = 24;
    private static readonly Stroke Rim = new(1.2, Ink);
    private readonly PaperDocument _document;
    private readonly XElement _picture;
    private readonly double _scale;
    private readonly double _fontPx;

    /// <param name="document">Where it is set.</param>
    /// <param name="svg">The picture.</param>
    /// <param name="widthPt">How wide it is to be.</param>
    public PictureOnPaper(PaperDocument document, string svg, double widthPt)
    {
        (_document, _picture) = (document, XElement.Parse(svg));
        _scale = widthPt / Number(_picture, "width");
        HeightPt = Number(_picture, "height") * _scale;
        _fontPx = Number(_picture, "font-size");
    }

    public double HeightPt { get; }

    /// <summary>Sets it with its upper left corner at a place.</summary>
    public void Draw(int page, double left, double top)
    {
        foreach (var element in _picture.Descendants().Where(element => element.Ancestors().All(outer => outer.Name.LocalName != "pattern")))
            Draw(page, new(left, top), element);
    }

    private void Draw(int page, PaperPoint corner, XElement element)
    {
        switch (element.Name.LocalName)
        {
            case "line":
                _document.Line(page, [At(corner, Number(element, "x1"), Number(element, "y1")), At(corner, Number(element, "x2"), Number(element, "y2"))], StrokeOf(element));
                break;
            case "polyline":
                _document.Line(page, Points(corner, Text(element, "points")), StrokeOf(element));
                break;
            case "path" when Text(element, "stroke").Length > 0:
                foreach (var part in Text(element, "d").Split('M', StringSplitOptions.RemoveEmptyEntries))
                    _document.Line(page, Points(corner, part.Replace('L', ' ')), StrokeOf(element));
                break;
            case "polygon":
                _document.Area(page, Points(corner, Text(element, "points")), element.Attribute("fill-opacity") is null ? HatchGrey : 1 - Number(element, "fill-opacity"));
                break;
            case "circle":
                Circle(page, corner, element);
                break;
            case "text":
                Words(page, corner, element);
                break;
        }
    }

    private void Circle(int page, PaperPoint corner, XElement element)
    {
        var (x, y, radius) = (Number(element, "cx"), Number(element, "cy"), Number(element, "r"));
        List<PaperPoint> rim = [.. Enumerable.Range(0, CircleCorners + 1).Select(i => Math.SinCos(i * Math.Tau / CircleCorners)).Select(turn => At(corner, x + (radius * turn.Cos), y + (radius * turn.Sin)))];
        var isHollow = Text(element, "stroke").Length > 0;
        _document.Area(page, rim, isHollow ? 1 : Ink);
        if (isHollow)
            _document.Line(page, rim, Rim);
    }

    private void Words(int page, PaperPoint corner, XElement element)
    {
        var (readable, size, foot) = (WinAnsi.Readable(element.Value), _fontPx * _scale, At(corner, Number(element, "x"), Number(element, "y")));
        var width = _document.Plain.WidthOf(readable, size);
        var x = foot.X - (Text(element, "text-anchor") switch { "middle" => width / 2, "end" => width, _ => 0 });
        _document.Write(page, _document.Plain, size, x, foot.Y, readable);
    }

    private Stroke StrokeOf(XElement element) => new(Number(element, "stroke-width") * _scale, element.Attribute("opacity") is null ? Ink : 1 - Number(element, "opacity"))
    {
        Dashes = [.. Text(element, "stroke-dasharray").Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(length => Read(length) * _scale)],
    };

    private IEnumerable<PaperPoint> Points(PaperPoint corner, string points) => points.Split(' ', StringSplitOptions.RemoveEmptyEntries)
        .Select(point => point.Split(',')).Select(pair => At(corner, Read(pair[0]), Read(pair[1])));

    private PaperPoint At(PaperPoint corner, double x, double y) => new(corner.X + (x * _scale), corner.Y - (y * _scale));

    private static string Text(XElement element, string name) => element.Attribute(name)?.Value ?? "";

    private static double Number(XElement element, string name) => Read(Text(element, name));

    private static double Read(string number) => double.Parse(number, CultureInfo.InvariantCulture);
}
