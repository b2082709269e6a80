namespace BackTracker.Service.Paper;

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

/// <summary>A table: every cell wraps within its column.</summary>
/// <param name="Columns">Head and width of each column, points.</param>
/// <param name="Rows">The rows.</param>
internal sealed record PaperTable(IReadOnlyList<(string Head, double WidthPt)> Columns, IReadOnlyList<PaperRow> Rows);

/// <summary>A row of a table.</summary>
/// <param name="Cells">One a column.</param>
/// <param name="Notes">What is said below it over the whole width.</param>
internal sealed record PaperRow(IReadOnlyList<string> Cells, IReadOnlyList<string> Notes);
