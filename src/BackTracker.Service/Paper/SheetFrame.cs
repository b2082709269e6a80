namespace BackTracker.Service.Paper;

/// <summary>What stands above and below every page of a sheet.</summary>
/// <param name="Title">What it is.</param>
/// <param name="Day">Its day.</param>
/// <param name="Under">Below the title.</param>
/// <param name="UnderDay">Below the day.</param>
internal sealed record SheetFrame(string Title, string Day, string Under, string UnderDay)
{
    private const double TitleSize = 14;
    private const double Text = 9.5;
    private const double Small = 8;

    /// <summary>Draws it on every page, with the number of the page.</summary>
    public void Draw(PaperDocument document)
    {
        for (var page = 0; page < document.Pages; page++)
            Draw(document, page);
    }

    private void Draw(PaperDocument document, int page)
    {
        const double left = SheetFlow.Left, right = SheetFlow.Right;
        var (dayWidth, underWidth) = (document.Bold.WidthOf(Day, 11), document.Plain.WidthOf(UnderDay, Text));
        document.Write(page, document.Bold, TitleSize, left, 786, Wrapping.Cut(document.Bold, TitleSize, right - left - dayWidth - 20, Title));
        document.Write(page, document.Bold, 11, right - dayWidth, 786, Day);
        document.Write(page, document.Plain, Text, left, 771, Wrapping.Cut(document.Plain, Text, right - left - underWidth - 20, Under));
        document.Write(page, document.Plain, Text, right - underWidth, 771, UnderDay);
        document.Rule(page, left, right, 763, 1.2);
        var number = FormattableString.Invariant($"Page {page + 1} of {document.Pages}");
        document.Write(page, document.Plain, Small, right - document.Plain.WidthOf(number, Small), 38, number);
    }
}
