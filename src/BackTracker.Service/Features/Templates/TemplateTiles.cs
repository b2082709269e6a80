using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Templates;

/// <summary>A cross by which two sheets are laid over one another.</summary>
/// <param name="Number">Its number, from 1: the same on every sheet that shows it.</param>
/// <param name="At">Where it lies in the drawing.</param>
internal readonly record struct RegisterMark(int Number, PointMm At);

/// <summary>A drawing cut into pieces that fit on a page, and that share a strip with each neighbour.</summary>
internal sealed class TemplateTiles
{
    public const double SharedMm = 20;

    // So that no cross is drawn into the curve it is to be laid by, nor over the edge of a sheet.
    private const double ClearMm = 7;

    // Off the middle of the strip, where two sheets have the spine.
    private const double BesideMm = 5;
    private readonly PointMm _leftTop;
    private readonly double _widthMm;
    private readonly double _heightMm;

    private TemplateTiles(PointMm leftTop, (double Width, double Height) windowMm, (int Columns, int Rows) count) =>
        (_leftTop, _widthMm, _heightMm, Columns, Rows) = (leftTop, windowMm.Width, windowMm.Height, count.Columns, count.Rows);

    public int Columns { get; }

    public int Rows { get; }

    public int Count => Columns * Rows;

    /// <summary>As few pieces as hold the drawing, which lies in their middle.</summary>
    /// <param name="leftTop">Upper left corner of the drawing.</param>
    /// <param name="rightBottom">Its lower right corner.</param>
    /// <param name="windowMm">What fits on a page.</param>
    public static TemplateTiles Of(PointMm leftTop, PointMm rightBottom, (double Width, double Height) windowMm)
    {
        var (columns, rows) = (Needed(rightBottom.X - leftTop.X, windowMm.Width), Needed(rightBottom.Y - leftTop.Y, windowMm.Height));
        var corner = new PointMm(
            ((leftTop.X + rightBottom.X) - Span(columns, windowMm.Width)) / 2,
            ((leftTop.Y + rightBottom.Y) - Span(rows, windowMm.Height)) / 2);
        return new TemplateTiles(corner, windowMm, (columns, rows));
    }

    /// <summary>What of the drawing lies in the upper left corner of a piece; pieces are counted row by row.</summary>
    public PointMm CornerOf(int tile) => new(Corner(_leftTop.X, tile % Columns, _widthMm), Corner(_leftTop.Y, tile / Columns, _heightMm));

    /// <summary>Two crosses in every strip that two pieces share, clear of what is drawn.</summary>
    public IReadOnlyList<RegisterMark> Marks(IReadOnlyList<PointMm> drawn)
    {
        List<PointMm> places = [];
        for (var tile = 0; tile < Count; tile++)
        {
            var corner = CornerOf(tile);
            if ((tile + 1) % Columns != 0)
                places.AddRange(Ends(along => new(corner.X + _widthMm - (SharedMm / 2) - BesideMm, corner.Y + along), _heightMm, drawn));
            if (tile / Columns + 1 < Rows)
                places.AddRange(Ends(along => new(corner.X + along, corner.Y + _heightMm - (SharedMm / 2)), _widthMm, drawn));
        }
        return [.. places.Select((place, i) => new RegisterMark(i + 1, place))];
    }

    // The clear places nearest to both ends of a strip, but for the corner that four pieces share.
    private static IEnumerable<PointMm> Ends(Func<double, PointMm> at, double lengthMm, IReadOnlyList<PointMm> drawn)
    {
        PointMm[] places = [.. Enumerable.Range(0, (int)(lengthMm / 5) + 1).Select(i => i * 5.0).Where(along => along >= SharedMm + ClearMm && along <= lengthMm - SharedMm - ClearMm).Select(at)];
        PointMm[] clear = [.. places.Where(place => drawn.All(point => double.Hypot(point.X - place.X, point.Y - place.Y) > ClearMm))];
        return clear.Length > 1 ? [clear[0], clear[^1]] : [places[0], places[^1]];
    }

    private static int Needed(double lengthMm, double windowMm) => Math.Max(1, (int)Math.Ceiling((lengthMm - SharedMm) / (windowMm - SharedMm)));

    private static double Span(int count, double windowMm) => (count * windowMm) - ((count - 1) * SharedMm);

    private static double Corner(double first, int index, double windowMm) => first + (index * (windowMm - SharedMm));
}
