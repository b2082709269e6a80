using UglyToad.PdfPig.Core;
using UglyToad.PdfPig.Fonts.Standard14Fonts;
using UglyToad.PdfPig.Graphics.Operations;
using UglyToad.PdfPig.Graphics.Operations.ClippingPaths;
using UglyToad.PdfPig.Graphics.Operations.General;
using UglyToad.PdfPig.Graphics.Operations.PathConstruction;
using UglyToad.PdfPig.Graphics.Operations.PathPainting;
using UglyToad.PdfPig.Graphics.Operations.SpecialGraphicsState;
using UglyToad.PdfPig.Graphics.Operations.TextShowing;
using UglyToad.PdfPig.Tokens;
using UglyToad.PdfPig.Writer;

namespace BackTracker.Service.Paper;

/// <summary>Pages in black: text in two standard fonts, rules and boxes, lines and areas. Points, y from the bottom up.</summary>
internal sealed class PaperDocument : IDisposable
{
    private const int RoundJoin = 1;
    private readonly MemoryStream _bytes = new();
    private readonly PdfDocumentBuilder _builder;
    private readonly List<PdfPageBuilder> _pages = [];

    public PaperDocument(string title)
    {
        _builder = new PdfDocumentBuilder(_bytes, false, PdfWriterType.Default, 1.7, new WinAnsiWriter());
        _builder.DocumentInformation.Title = WinAnsi.Readable(title);
        _builder.DocumentInformation.Producer = "BackTracker";
        (Plain, Bold) = (new Typeface(_builder, Standard14Font.Helvetica), new Typeface(_builder, Standard14Font.HelveticaBold));
    }

    public Typeface Plain { get; }

    public Typeface Bold { get; }

    public int Pages => _pages.Count;

    /// <summary>Begins a page of A4 and gives its number, from 0.</summary>
    public int AddPage() => AddPage(PaperSize.A4);

    /// <summary>Begins a page and gives its number, from 0.</summary>
    public int AddPage(PaperSize size)
    {
        _pages.Add(_builder.AddPage(size.WidthPt, size.HeightPt));
        return _pages.Count - 1;
    }

    /// <summary>Writes readable text on one line, its foot at y.</summary>
    public void Write(int page, Typeface face, double size, double x, double y, string readable)
    {
        if (readable.Length == 0)
            return;
        // The builder knows the letters of another encoding only: it is given a blank to place, whose code then makes way for the text's own.
        _pages[page].AddText(" ", size, new PdfPoint(x, y), face.Added);
        var operations = _pages[page].CurrentStream.Operations;
        operations[operations.FindLastIndex(operation => operation is ShowText)] = new ShowText(WinAnsi.Codes(readable));
    }

    public void Rule(int page, double fromX, double toX, double y, double width) => _pages[page].DrawLine(new PdfPoint(fromX, y), new PdfPoint(toX, y), width);

    public void Upright(int page, double x, double fromY, double toY, double width) => _pages[page].DrawLine(new PdfPoint(x, fromY), new PdfPoint(x, toY), width);

    /// <summary>An empty box to tick, its foot at y.</summary>
    public void Box(int page, double x, double y, double size) => _pages[page].DrawRectangle(new PdfPoint(x, y), size, size, .7);

    /// <summary>One line through all the points.</summary>
    public void Line(int page, IEnumerable<PaperPoint> points, Stroke stroke) => Apart(
        page,
        [
            new SetLineWidth(stroke.WidthPt), new SetLineJoin(RoundJoin), new SetLineDashPattern(stroke.Dashes, 0),
            new SetStrokeColorDeviceGray(stroke.Grey), .. Path(points), StrokePath.Value,
        ]);

    /// <summary>An area filled with a grey, 0 black and 1 the paper.</summary>
    public void Area(int page, IEnumerable<PaperPoint> points, double grey) =>
        Apart(page, [new SetNonStrokeColorDeviceGray(grey), .. Path(points), FillPathNonZeroWinding.Value]);

    /// <summary>Draws so that nothing is seen outside of a rectangle.</summary>
    public void Within(int page, PaperBox box, Action draw)
    {
        var operations = _pages[page].CurrentStream.Operations;
        operations.AddRange([Push.Value, new AppendRectangle(box.Left, box.Bottom, box.Width, box.Height), ModifyClippingByNonZeroWindingIntersect.Value, EndPath.Value]);
        draw();
        operations.Add(Pop.Value);
    }

    public byte[] Build() => _builder.Build();

    public void Dispose()
    {
        _builder.Dispose();
        _bytes.Dispose();
    }

    // What is set for one line is gone after it.
    private void Apart(int page, IEnumerable<IGraphicsStateOperation> operations) =>
        _pages[page].CurrentStream.Operations.AddRange([Push.Value, .. operations, Pop.Value]);

    private static IEnumerable<IGraphicsStateOperation> Path(IEnumerable<PaperPoint> points) =>
        points.Select<PaperPoint, IGraphicsStateOperation>((point, i) => i == 0 ? new BeginNewSubpath(point.X, point.Y) : new AppendStraightLineSegment(point.X, point.Y));

    /// <summary>Has the standard fonts say that their codes are those of WinAnsi, which holds the letters of western Europe.</summary>
    private sealed class WinAnsiWriter : TokenWriter
    {
        protected override void WriteName(NameToken name, Stream outputStream) =>
            base.WriteName(name.Equals(NameToken.StandardEncoding) ? NameToken.WinAnsiEncoding : name, outputStream);
    }
}
