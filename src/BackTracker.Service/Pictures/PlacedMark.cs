namespace BackTracker.Service.Pictures;

/// <summary>A mark above the plot with its words, as far as there is room for them.</summary>
/// <param name="X">Where it stands, px.</param>
/// <param name="Left">Left end of its words.</param>
/// <param name="Row">Row of its words, 0 the lower; -1 where there was no room.</param>
/// <param name="Words">The words.</param>
internal sealed record PlacedMark(double X, double Left, int Row, string Words)
{
    private const double RowPx = 17;
    private const double StaffPx = 4;
    private const int NoRoom = -1;

    private double Right => Left + Svg.WidthOf(Words);

    /// <summary>
    /// Places marks like flags, so that no words cover another's words or staff: from the last to the first, words to the right where they fit,
    /// since a staff in a higher row then never has words in its way.
    /// </summary>
    public static List<PlacedMark> Of(IEnumerable<DrawnMark> marks, Func<DateOnly, double> across, double rightPx, int rows)
    {
        var placed = new List<PlacedMark>();
        foreach (var mark in marks.Reverse())
        {
            var (x, width) = (across(mark.Day), Svg.WidthOf(mark.Words));
            var free = from left in new[] { x + StaffPx, x - StaffPx - width }
                       from row in Enumerable.Range(0, rows - 1)
                       where left >= 4 && left + width <= rightPx && placed.TrueForAll(other => Clear(other, x, left, left + width, row))
                       select new PlacedMark(x, left, row, mark.Words);
            placed.Add(free.FirstOrDefault() ?? new PlacedMark(x, x, NoRoom, mark.Words));
        }
        return placed;
    }

    public void Draw(Svg svg, double plotTop)
    {
        // The lowest row above the plot is that of today.
        var top = plotTop - (Row == NoRoom ? 4 : RowPx * (Row + 2));
        svg.Line(new(X, top), new(X, plotTop + 6), new("mark", 1.6));
        if (Row != NoRoom)
            svg.Label(Left, top + 12, Words);
    }

    private static bool Clear(PlacedMark other, double x, double left, double right, int row) =>
        (other.Row != row || other.Right + 4 < left || right + 4 < other.Left)
        && (other.Row < row || other.X < left - 2 || other.X > right + 2)
        && (other.Row > row || x < other.Left - 2 || x > other.Right + 2);
}
