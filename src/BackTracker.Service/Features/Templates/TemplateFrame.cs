using BackTracker.Service.Paper;

namespace BackTracker.Service.Features.Templates;

/// <summary>On how many sheets a drawing lies.</summary>
internal enum Sheets
{
    /// <summary>On one.</summary>
    One,

    /// <summary>On several that are laid over one another.</summary>
    Joined,
}

/// <summary>What stands around the drawing on every page: whose it is, what its lines are, and two rulers to check the printer by.</summary>
internal sealed class TemplateFrame
{
    public const double CheckMm = 100;
    private const double MarginPt = 10 * PaperSize.PointsPerMm;
    private const double RulerPt = 8 * PaperSize.PointsPerMm;
    private const double TitleSize = 13;
    private const double TextSize = 8.5;
    private const double Leading = 1.28;
    private static readonly Stroke Ruler = new(.6);
    private static readonly Stroke Hair = new(.4, .6);
    private readonly PaperDocument _document;
    private readonly IReadOnlyList<string> _title;
    private readonly IReadOnlyList<string> _facts;
    private readonly IReadOnlyList<string> _check;
    private readonly IReadOnlyList<string> _foot;

    public TemplateFrame(PaperDocument document, PaperSize paper, string title, IReadOnlyList<string> facts, Sheets sheets)
    {
        (_document, Paper) = (document, paper);
        var (left, right) = (MarginPt + RulerPt, paper.WidthPt - MarginPt);
        _title = Wrapping.Lines(document.Bold, TitleSize, right - MarginPt - 200, title);
        _facts = [.. facts.SelectMany(fact => Wrapping.Lines(document.Plain, TextSize, right - MarginPt, fact))];
        _check = Wrapping.Lines(document.Bold, TextSize, right - left, TemplateText.Check);
        string[] foot = [.. sheets == Sheets.Joined ? [TemplateText.Join] : Array.Empty<string>(), TemplateText.Caution];
        _foot = [.. foot.SelectMany(text => Wrapping.Lines(document.Plain, TextSize, right - left, text))];
        var top = paper.HeightPt - MarginPt - (_title.Count * TitleSize * Leading) - (_facts.Count * TextSize * Leading) - 6;
        Window = new PaperBox(left, MarginPt + RulerPt + ((_check.Count + _foot.Count) * TextSize * Leading) + 6, right, top);
    }

    /// <summary>The page.</summary>
    public PaperSize Paper { get; }

    /// <summary>Where on it the drawing lies.</summary>
    public PaperBox Window { get; }

    public (double Width, double Height) WindowMm => (Window.Width / PaperSize.PointsPerMm, Window.Height / PaperSize.PointsPerMm);

    public void Draw(int page, int tile, TemplateTiles tiles, int pages)
    {
        var y = Paper.HeightPt - MarginPt;
        y = Write(page, _document.Bold, TitleSize, MarginPt, y, _title);
        Write(page, _document.Plain, TextSize, MarginPt, y, _facts);
        Right(page, Paper.HeightPt - MarginPt - TitleSize, FormattableString.Invariant($"{Place(tile, tiles)}Page {page + 1} of {pages}"));
        y = Write(page, _document.Bold, TextSize, Window.Left, Window.Bottom - 4, _check);
        Write(page, _document.Plain, TextSize, Window.Left, y, _foot);
        _document.Line(page, [new(Window.Left, Window.Bottom), new(Window.Right, Window.Bottom), new(Window.Right, Window.Top), new(Window.Left, Window.Top), new(Window.Left, Window.Bottom)], Hair);
        Rulers(page);
    }

    private static string Place(int tile, TemplateTiles tiles)
    {
        if (tiles.Count == 1)
            return "";
        var row = tiles.Rows == 1 ? "" : FormattableString.Invariant($"row {(tile / tiles.Columns) + 1} from the top, ");
        return Engine.Words.Sentence(FormattableString.Invariant($"{row}sheet {(tile % tiles.Columns) + 1} of {tiles.Columns} from the left. "));
    }

    // From one corner upwards and to the right, with a tick every 10 mm.
    private void Rulers(int page)
    {
        var corner = new PaperPoint(MarginPt + 2, MarginPt + 2);
        const double length = CheckMm * PaperSize.PointsPerMm;
        _document.Line(page, [corner, corner with { X = corner.X + length }], Ruler);
        _document.Line(page, [corner, corner with { Y = corner.Y + length }], Ruler);
        for (var i = 0; i <= 10; i++)
        {
            var (along, tick) = (i * length / 10, i % 10 == 0 ? 9 : i % 5 == 0 ? 6 : 4);
            _document.Line(page, [new(corner.X + along, corner.Y), new(corner.X + along, corner.Y + tick)], Ruler);
            _document.Line(page, [new(corner.X, corner.Y + along), new(corner.X + tick, corner.Y + along)], Ruler);
        }
        _document.Write(page, _document.Plain, 7.5, corner.X + length + 4, corner.Y, "100 mm");
        _document.Write(page, _document.Plain, 7.5, corner.X - 2, corner.Y + length + 12, "100");
        _document.Write(page, _document.Plain, 7.5, corner.X - 2, corner.Y + length + 4, "mm");
    }

    private double Write(int page, Typeface face, double size, double x, double top, IReadOnlyList<string> lines)
    {
        for (var i = 0; i < lines.Count; i++)
            _document.Write(page, face, size, x, top - (i * size * Leading) - size, lines[i]);
        return top - (lines.Count * size * Leading);
    }

    private void Right(int page, double y, string text) =>
        _document.Write(page, _document.Plain, TextSize, Paper.WidthPt - MarginPt - _document.Plain.WidthOf(text, TextSize), y, text);
}
