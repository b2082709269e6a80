using BackTracker.Service.Paper;

namespace BackTracker.Service.Features.Visits;

/// <summary>How an entry of a section begins.</summary>
internal enum Mark
{
    /// <summary>With nothing.</summary>
    None,

    /// <summary>With a dot.</summary>
    Dot,

    /// <summary>With a box to tick.</summary>
    Box,
}

/// <summary>One entry of a section.</summary>
/// <param name="Mark">How it begins.</param>
/// <param name="Text">What it says.</param>
internal sealed record Entry(Mark Mark, string Text)
{
    public static Entry Plain(string text) => new(Mark.None, text);

    public static Entry Listed(string text) => new(Mark.Dot, text);

    public static Entry Ticked(string text) => new(Mark.Box, text);
}

/// <summary>The parts of a visit sheet, one under the other: a narrow column of labels and beside it what they label.</summary>
/// <param name="document">Where it is drawn.</param>
internal sealed class VisitPaperFlow(PaperDocument document)
{
    public const double Left = 48;
    public const double Right = 547;
    private const double Top = 752;
    private const double Bottom = 56;
    private const double Body = Left + 82;
    private const double MarkWidth = 13;
    private const double LabelSize = 8.5;
    private const double RowHeight = 15;
    private readonly Flow _flow = new(document, Top, Bottom)
    {
        ContinuedHeight = 20,
        Continue = (page, y, subject) => document.Write(page, document.Bold, 9.5, Left, y - 11, Wrapping.Cut(document.Bold, 9.5, Right - Left, $"{subject}, continued")),
    };

    public string Subject
    {
        set => _flow.Subject = value;
    }

    public void Draw() => _flow.Draw();

    public void Paragraph(Typeface face, double size, string text, After after)
    {
        foreach (var line in Wrapping.Lines(face, size, Right - Left, text))
            _flow.Add(size * 1.35, After.Stay, (page, y) => document.Write(page, face, size, Left, y - size, line));
        Space(4, after);
    }

    public void HorseHeading(string name, double size)
    {
        Space(10, After.Break);
        _flow.Subject = name;
        _flow.Add(6, After.Stay, (page, y) =>
        {
            if (y < Top)
                document.Rule(page, Left, Right, y, 1);
        });
        var lines = Wrapping.Lines(document.Bold, size, Right - Left - 80, name);
        for (var i = 0; i < lines.Count; i++)
        {
            var (line, first) = (lines[i], i == 0);
            _flow.Add(size * 1.3, After.Stay, (page, y) =>
            {
                document.Write(page, document.Bold, size, Left, y - size, line);
                if (first)
                    TickAt(page, Right - 12 - document.Plain.WidthOf("looked at", 9), y - size, "looked at");
            });
        }
    }

    public void SaddleHeading(string label, string description)
    {
        Space(4, After.Stay);
        foreach (var line in Wrapping.Lines(document.Bold, 10.5, Right - Left, label))
            _flow.Add(14, After.Stay, (page, y) => document.Write(page, document.Bold, 10.5, Left, y - 10.5, line));
        foreach (var line in Wrapping.Lines(document.Plain, 9.5, Right - Left, description))
            _flow.Add(12.5, After.Stay, (page, y) => document.Write(page, document.Plain, 9.5, Left, y - 9.5, line));
        Space(4, After.Stay);
    }

    /// <summary>Bold lines beside a heavy bar.</summary>
    public void Warning(IReadOnlyList<string> texts)
    {
        foreach (var line in texts.SelectMany(text => Wrapping.Lines(document.Bold, 10.5, Right - Left - 10, text)))
        {
            _flow.Add(14, After.Stay, (page, y) =>
            {
                document.Upright(page, Left + 1.5, y - 14, y, 3);
                document.Write(page, document.Bold, 10.5, Left + 10, y - 10.5, line);
            });
        }
        if (texts.Count > 0)
            Space(4, After.Stay);
    }

    /// <summary>A label and its entries; nothing where there are none.</summary>
    public void Section(string label, double size, IReadOnlyList<Entry> entries, After after = After.Break)
    {
        for (var i = 0; i < entries.Count; i++)
            Lines(i == 0 ? label : "", size, entries[i], i == entries.Count - 1 ? After.Stay : After.Break);
        if (entries.Count > 0)
            Space(4, after);
    }

    /// <summary>A table in the body column, ruled between its rows.</summary>
    public void Table(VisitMoveTable table)
    {
        if (table.Rows.Count == 0)
            return;
        var headWidth = table.Rows.Max(row => document.Plain.WidthOf(WinAnsi.Readable(row.Head), 9)) + 12;
        var width = Math.Min(76, (Right - Body - headWidth) / table.Columns.Count);
        var end = Body + headWidth + (table.Columns.Count * width);
        Row(table.Columns, document.Bold, 7.5, "");
        foreach (var (head, cells) in table.Rows)
            Row(cells, document.Plain, 9, head);
        Space(6, After.Break);

        void Row(IReadOnlyList<string> cells, Typeface face, double size, string head) => _flow.Add(13, After.Stay, (page, y) =>
        {
            document.Write(page, document.Plain, 9, Body, y - 9.5, WinAnsi.Readable(head));
            for (var i = 0; i < cells.Count; i++)
                document.Write(page, face, size, Body + headWidth + (i * width), y - 9.5, WinAnsi.Readable(cells[i]));
            document.Rule(page, Body, end, y - 13, .3);
        });
    }

    /// <summary>Room for what was found, what was changed and when to come again.</summary>
    public void Record()
    {
        Ruled("Found", After.Stay);
        Ruled("", After.Stay);
        Ruled("", After.Stay);
        Space(8, After.Stay);
        _flow.Add(RowHeight, After.Stay, (page, y) =>
        {
            Label(page, y - 9.5, "Changed");
            string[] kinds = ["flocking", "shim", "pad", "tree", "balance", "repair"];
            for (var i = 0; i < kinds.Length; i++)
                TickAt(page, Body + (i * 62), y - 9.5, kinds[i]);
        });
        Grid(["", "Front", "Middle", "Rear"], 12);
        Grid(["Left, mm", "", "", ""], RowHeight + 3);
        Grid(["Right, mm", "", "", ""], RowHeight + 3);
        Ruled("Next visit", After.Stay);
        Space(8, After.Break);
    }

    // One row of the grid by side and third; what has no text is a box to write in.
    private void Grid(string[] cells, double height) => _flow.Add(height, After.Stay, (page, y) =>
    {
        for (var i = 0; i < cells.Length; i++)
        {
            var x = Body + (i == 0 ? 0 : 58 + ((i - 1) * 84));
            if (cells[i].Length > 0 || i == 0)
                document.Write(page, document.Plain, LabelSize, x, y - height + 4, cells[i]);
            else
                Frame(page, x, y - height, 84, height);
        }
    });

    private void Frame(int page, double x, double y, double width, double height)
    {
        document.Rule(page, x, x + width, y, .5);
        document.Rule(page, x, x + width, y + height, .5);
        document.Upright(page, x, y, y + height, .5);
        document.Upright(page, x + width, y, y + height, .5);
    }

    private void Ruled(string label, After after) => _flow.Add(20, after, (page, y) =>
    {
        if (label.Length > 0)
            document.Write(page, document.Bold, LabelSize, Left, y - 17, label);
        document.Rule(page, Body, Right, y - 19, .5);
    });

    private void Lines(string label, double size, Entry entry, After last)
    {
        var indent = entry.Mark == Mark.None ? 0 : MarkWidth;
        var lines = Wrapping.Lines(document.Plain, size, Right - Body - indent, entry.Text);
        for (var i = 0; i < lines.Count; i++)
        {
            var (line, first) = (lines[i], i == 0);
            _flow.Add(size * 1.32, i < lines.Count - 1 ? After.Stay : last, (page, y) =>
            {
                document.Write(page, document.Plain, size, Body + indent, y - size, line);
                if (!first)
                    return;
                Label(page, y - size, label);
                Draw(page, entry.Mark, size, y);
            });
        }
    }

    private void Draw(int page, Mark mark, double size, double y)
    {
        if (mark == Mark.Box)
            document.Box(page, Body, y - size - .5, 7.5);
        else if (mark == Mark.Dot)
            document.Write(page, document.Plain, size, Body + 3, y - size, "•");
    }

    private void Label(int page, double y, string label) => document.Write(page, document.Bold, LabelSize, Left, y, label);

    private void TickAt(int page, double x, double y, string text)
    {
        document.Box(page, x, y - .5, 7.5);
        document.Write(page, document.Plain, 9, x + 12, y, text);
    }

    private void Space(double height, After after) => _flow.Space(height, after);
}
