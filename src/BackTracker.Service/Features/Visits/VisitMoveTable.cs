using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Visits;

/// <summary>What moved on a back as a table: a row for each station, a column for each measure that is known.</summary>
/// <param name="Columns">Heads of the columns after the first.</param>
/// <param name="Rows">Head of each row and its cells; empty text where nothing is known.</param>
internal sealed record VisitMoveTable(IReadOnlyList<string> Columns, IReadOnlyList<(string Head, IReadOnlyList<string> Cells)> Rows)
{
    private static readonly (Quantity Quantity, string Head)[] Heads =
    [
        (Quantity.Width, "Width, mm"), (Quantity.HalfLeft, "Left half, mm"), (Quantity.HalfRight, "Right half, mm"),
        (Quantity.AngleLeft, "Left angle, deg"), (Quantity.AngleRight, "Right angle, deg"), (Quantity.Angle, "Angle, deg"),
    ];

    public static VisitMoveTable Of(VisitSaddle saddle)
    {
        var moves = saddle.Moved.Where(move => move.Station is not null).Select(move => (Move: move, Metric: Metric.TryParse(move.Metric, out var metric) ? metric : default)).ToList();
        var columns = Heads.Where(head => moves.Exists(m => m.Metric.Quantity == head.Quantity)).ToList();
        var rows = moves.GroupBy(m => m.Move.Station, (station, own) => (
            Head: station!,
            Cells: (IReadOnlyList<string>)[.. columns.Select(column => own.Where(m => m.Metric.Quantity == column.Quantity).Select(m => Cell(m.Move)).FirstOrDefault(""))],
            From: own.Max(m => m.Move.From)));
        return new VisitMoveTable(
            [.. columns.Select(column => column.Head)],
            [.. rows.Select(row => (row.From > saddle.Since ? $"{row.Head}, from {Engine.Words.Day(row.From)}" : row.Head, row.Cells))]);
    }

    /// <summary>"+12 ± 3 *".</summary>
    private static string Cell(VisitMove move)
    {
        var size = VisitWords.Number(move.Unit, Math.Abs(move.Change));
        var sign = size is "0" or "0.0" ? "" : move.Change < 0 ? "-" : "+";
        return $"{sign}{size} ± {VisitWords.Number(move.Unit, move.PlusMinus)}{(move.MoreThanNoise ? " *" : "")}";
    }
}
