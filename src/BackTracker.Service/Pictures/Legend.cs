using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>What the signs of a picture mean, under it: one row where there is room.</summary>
/// <param name="Entries">How to draw each sign around a place 20 px wide, and what it means.</param>
internal sealed record Legend(IReadOnlyList<(Action<Svg, PointMm> Draw, string Words)> Entries)
{
    public const double RowPx = 18;
    private const double SignPx = 24;
    private const double GapPx = 12;

    /// <summary>Height it takes at a width.</summary>
    public double HeightAt(double widthPx) => Places(widthPx).Max(place => place.Row + 1) * RowPx;

    /// <summary>Draws it with its left upper corner at a place.</summary>
    public void Draw(Svg svg, double left, double top, double widthPx)
    {
        foreach (var ((draw, words), (x, row)) in Entries.Zip(Places(widthPx)))
        {
            var y = top + (row * RowPx) + 13;
            draw(svg, new(left + x, y - 4));
            svg.Label(left + x + SignPx, y, words);
        }
    }

    private IEnumerable<(double X, int Row)> Places(double widthPx)
    {
        var (x, row) = (0.0, 0);
        foreach (var (_, words) in Entries)
        {
            var width = SignPx + Svg.WidthOf(words);
            if (x > 0 && x + width > widthPx)
                (x, row) = (0, row + 1);
            yield return (x, row);
            x += width + GapPx;
        }
    }
}
