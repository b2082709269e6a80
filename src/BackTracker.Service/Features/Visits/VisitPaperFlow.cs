using BackTracker.Service.Paper;

namespace BackTracker.Service.Features.Visits;

/// <summary>What a visit sheet has beside the parts of every sheet: headings of horses and saddles, and room to write.</summary>
/// <param name="document">Where it is drawn.</param>
internal sealed class VisitPaperFlow(PaperDocument document) : SheetFlow(document)
{
    private const double RowHeight = 15;
    private readonly PaperDocument _document = document;

    public void HorseHeading(string name, double size)
    {
        Begin(name);
        var lines = Wrapping.Lines(_document.Bold, size, Right - Left - 80, name);
        for (var i = 0; i < lines.Count; i++)
        {
            var (line, first) = (lines[i], i == 0);
            Add(size * 1.3, After.Stay, (page, y) =>
            {
                _document.Write(page, _document.Bold, size, Left, y - size, line);
                if (first)
                    TickAt(page, Right - 12 - _document.Plain.WidthOf("looked at", 9), y - size, "looked at");
            });
        }
    }

    public void SaddleHeading(string label, string description)
    {
        Space(4, After.Stay);
        foreach (var line in Wrapping.Lines(_document.Bold, 10.5, Right - Left, label))
            Add(14, After.Stay, (page, y) => _document.Write(page, _document.Bold, 10.5, Left, y - 10.5, line));
        foreach (var line in Wrapping.Lines(_document.Plain, 9.5, Right - Left, description))
            Add(12.5, After.Stay, (page, y) => _document.Write(page, _document.Plain, 9.5, Left, y - 9.5, line));
        Space(4, After.Stay);
    }

    /// <summary>What moved, in the body column.</summary>
    public void Table(VisitMoveTable table)
    {
        if (table.Rows.Count == 0)
            return;
        var headWidth = table.Rows.Max(row => _document.Plain.WidthOf(WinAnsi.Readable(row.Head), 9)) + 12;
        var width = Math.Min(76, (Right - Body - headWidth) / table.Columns.Count);
        Table(Body, new PaperTable(
            [("", headWidth), .. table.Columns.Select(column => (column, width))],
            [.. table.Rows.Select(row => new PaperRow([row.Head, .. row.Cells], []))]));
    }

    /// <summary>Room for what was found, what was changed and when to come again.</summary>
    public void Record()
    {
        Ruled("Found", After.Stay);
        Ruled("", After.Stay);
        Ruled("", After.Stay);
        Space(8, After.Stay);
        Add(RowHeight, After.Stay, (page, y) =>
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
    private void Grid(string[] cells, double height) => Add(height, After.Stay, (page, y) =>
    {
        for (var i = 0; i < cells.Length; i++)
        {
            var x = Body + (i == 0 ? 0 : 58 + ((i - 1) * 84));
            if (cells[i].Length > 0 || i == 0)
                _document.Write(page, _document.Plain, LabelSize, x, y - height + 4, cells[i]);
            else
                Frame(page, x, y - height, 84, height);
        }
    });

    private void Frame(int page, double x, double y, double width, double height)
    {
        _document.Rule(page, x, x + width, y, .5);
        _document.Rule(page, x, x + width, y + height, .5);
        _document.Upright(page, x, y, y + height, .5);
        _document.Upright(page, x + width, y, y + height, .5);
    }

    private void Ruled(string label, After after) => Add(20, after, (page, y) =>
    {
        if (label.Length > 0)
            Label(page, y - 17, label);
        _document.Rule(page, Body, Right, y - 19, .5);
    });
}
