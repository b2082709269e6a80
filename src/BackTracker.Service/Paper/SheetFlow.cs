namespace BackTracker.Service.Paper;

/// <summary>The parts of a sheet, one under the other: a narrow column of labels and beside it what they label.</summary>
/// <param name="document">Where it is drawn.</param>
internal class SheetFlow(PaperDocument document)
{
    public const double Left = 48;
    public const double Right = 547;
    public const double LabelSize = 8.5;
    protected const double Body = Left + 82;
    private const double Top = 752;
    private const double Bottom = 56;
    private const double MarkWidth = 13;
    private const double CellSize = 9;
    private const double CellLeading = 11.5;
    private readonly Flow _flow = new(document, Top, Bottom)
    {
        ContinuedHeight = 20,
        Continue = (page, y, subject) => document.Write(page, document.Bold, 9.5, Left, y - 11, Wrapping.Cut(document.Bold, 9.5, Right - Left, $"{subject}, continued")),
    };

    /// <summary>What is named again where a page ends within it.</summary>
    public string Subject
    {
        set => _flow.Subject = value;
    }

    public void Draw() => _flow.Draw();

    public void Paragraph(Typeface face, double size, string text, After after)
    {
        foreach (var line in Wrapping.Lines(face, size, Right - Left, text))
            Add(size * 1.35, After.Stay, (page, y) => document.Write(page, face, size, Left, y - size, line));
        Space(4, after);
    }

    /// <summary>A heading under a rule, which begins a subject.</summary>
    public void Heading(string text, double size)
    {
        Begin(text);
        foreach (var line in Wrapping.Lines(document.Bold, size, Right - Left, text))
            Add(size * 1.35, After.Stay, (page, y) => document.Write(page, document.Bold, size, Left, y - size, line));
        Space(2, After.Stay);
    }

    /// <summary>Bold lines beside a heavy bar.</summary>
    public void Warning(IReadOnlyList<string> texts)
    {
        foreach (var line in texts.SelectMany(text => Wrapping.Lines(document.Bold, 10.5, Right - Left - 10, text)))
        {
            Add(14, After.Stay, (page, y) =>
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

    /// <summary>A table ruled between its rows.</summary>
    /// <param name="left">Where it begins.</param>
    /// <param name="table">The table.</param>
    public void Table(double left, PaperTable table)
    {
        var end = left + table.Columns.Sum(column => column.WidthPt);
        Row(left, table.Columns, [.. table.Columns.Select(column => column.Head)], document.Bold, 7.5);
        RowEnd(left, end, After.Stay);
        foreach (var row in table.Rows)
        {
            Row(left, table.Columns, row.Cells, document.Plain, CellSize);
            string[] notes = [.. row.Notes.SelectMany(note => Wrapping.Lines(document.Plain, LabelSize, end - left - MarkWidth, note))];
            for (var i = 0; i < notes.Length; i++)
            {
                var line = notes[i];
                Add(CellLeading, i < notes.Length - 1 ? After.Break : After.Stay, (page, y) => document.Write(page, document.Plain, LabelSize, left + MarkWidth, y - CellSize, line));
            }
            RowEnd(left, end, After.Break);
        }
        Space(6, After.Break);
    }

    /// <summary>Begins a subject under a rule, except at the top of a page.</summary>
    protected void Begin(string subject)
    {
        // First, so that the room above it does not name the subject before it again.
        Subject = subject;
        Space(10, After.Break);
        Add(6, After.Stay, (page, y) =>
        {
            if (y < Top)
                document.Rule(page, Left, Right, y, 1);
        });
    }

    protected void Add(double height, After after, Action<int, double> draw) => _flow.Add(height, after, draw);

    protected void Space(double height, After after) => _flow.Space(height, after);

    protected void Label(int page, double y, string label) => document.Write(page, document.Bold, LabelSize, Left, y, label);

    protected void TickAt(int page, double x, double y, string text)
    {
        document.Box(page, x, y - .5, 7.5);
        document.Write(page, document.Plain, CellSize, x + 12, y, text);
    }

    private void Row(double left, IReadOnlyList<(string Head, double WidthPt)> columns, IReadOnlyList<string> cells, Typeface face, double size)
    {
        List<IReadOnlyList<string>> lines = [.. cells.Select((cell, i) => Wrapping.Lines(face, size, columns[i].WidthPt - 4, cell))];
        Add(lines.Max(cell => cell.Count) * CellLeading, After.Stay, (page, y) =>
        {
            var x = left;
            for (var i = 0; i < lines.Count; i++)
            {
                for (var j = 0; j < lines[i].Count; j++)
                    document.Write(page, face, size, x, y - 10 - (j * CellLeading), lines[i][j]);
                x += columns[i].WidthPt;
            }
        });
    }

    private void RowEnd(double left, double end, After after) => Add(3, after, (page, y) => document.Rule(page, left, end, y - 3, .3));

    private void Lines(string label, double size, Entry entry, After last)
    {
        var indent = entry.Mark == Mark.None ? 0 : MarkWidth;
        var lines = Wrapping.Lines(document.Plain, size, Right - Body - indent, entry.Text);
        for (var i = 0; i < lines.Count; i++)
        {
            var (line, first) = (lines[i], i == 0);
            Add(size * 1.32, i < lines.Count - 1 ? After.Stay : last, (page, y) =>
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
}
