using System.Globalization;

namespace BackTracker.Service.Pictures;

/// <summary>A trend in words, for who cannot see the picture.</summary>
internal static class TrendWords
{
    public static string Title(TrendDrawing drawing) => $"{Capital(drawing.Name)}, {drawing.HorseName}";

    public static string Axis(TrendDrawing drawing) => drawing.Unit == "-" ? Capital(drawing.Name) : $"{Capital(drawing.Name)} ({drawing.Unit})";

    public static string Describe(TrendDrawing drawing) => string.Join(' ', Sentences(drawing));

    private static IEnumerable<string> Sentences(TrendDrawing drawing)
    {
        var points = drawing.Points;
        var last = points[^1];
        yield return points.Count == 1
            ? $"{Capital(drawing.Name)} of {drawing.HorseName}, measured once."
            : $"{Capital(drawing.Name)} of {drawing.HorseName}, measured {points.Count} times since {Engine.Words.Day(points[0].Day)}.";
        yield return $"Last: {Value(drawing, last.Value)} on {Engine.Words.Day(last.Day)}.";
        yield return drawing.Movement;
        if (drawing.Tolerance is { } tolerance)
            yield return $"The tree of {tolerance.SaddleLabel} is out of tolerance where the back is {Limits(drawing, tolerance)}. {Outlook(drawing, tolerance)}";
        var outlying = points.Where(point => point.IsOutlying).Select(point => $"{Value(drawing, point.Value)} on {Engine.Words.Day(point.Day)}").ToList();
        if (outlying.Count > 0)
            yield return $"Drawn hollow, because it does not go with the others: {string.Join("; ", outlying)}.";
        if (drawing.Marks.Count > 0)
            yield return $"Marked: {string.Join("; ", drawing.Marks.Select(mark => $"{mark.Words} on {Engine.Words.Day(mark.Day)}"))}.";
        if (drawing.Forecast.Count > 0 && drawing.Forecast[^1] is { } end)
            yield return $"Expected on {Engine.Words.Day(end.Day)}: {Value(drawing, end.Level)}, with 80 % between {Number(end.Band80.Low)} and {Value(drawing, end.Band80.High)}.";
    }

    private static string Limits(TrendDrawing drawing, DrawnTolerance tolerance) => string.Join(" or ", new[]
    {
        double.IsFinite(tolerance.Low) ? $"under {Value(drawing, tolerance.Low)}" : "",
        double.IsFinite(tolerance.High) ? $"over {Value(drawing, tolerance.High)}" : "",
    }.Where(words => words.Length > 0));

    private static string Outlook(TrendDrawing drawing, DrawnTolerance tolerance)
    {
        var ahead = drawing.Forecast.Where(day => day.Day >= drawing.Today).ToList();
        if (ahead.Count == 0)
            return "";
        var leaves = ahead.FirstOrDefault(day => !tolerance.Holds(day.Level));
        return leaves is null ? $"It is expected to stay in tolerance up to {Engine.Words.Day(ahead[^1].Day)}."
            : leaves == ahead[0] ? "It is expected to be out of tolerance now."
            : $"It is expected to leave tolerance about {Engine.Words.Day(leaves.Day)}.";
    }

    private static string Value(TrendDrawing drawing, double value) => drawing.WithUnit(Number(value));

    /// <summary>Three digits at least, none that nobody measures.</summary>
    public static string Number(double value) => value.ToString(Math.Abs(value) switch { < 2 => "0.000", < 100 => "0.#", _ => "0" }, CultureInfo.InvariantCulture);

    /// <summary>A round number beside an axis.</summary>
    public static string Tick(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);

    private static string Capital(string words) =>
        words.StartsWith("the ", StringComparison.Ordinal) ? char.ToUpperInvariant(words[4]) + words[5..] : words;
}
