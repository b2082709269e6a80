namespace BackTracker.Service.Pictures;

/// <summary>Risk by day in words, for who cannot see the picture.</summary>
internal static class RiskWords
{
    private const int MonthDays = 28;

    public static string Describe(RiskDrawing drawing) => string.Join(' ', Sentences(drawing));

    private static IEnumerable<string> Sentences(RiskDrawing drawing)
    {
        yield return $"Chance of being out of tolerance: {Engine.Words.Percent(drawing.Days[0].On)} today, {Engine.Words.Day(drawing.Today)}.";
        var months = drawing.Days.Where((_, at) => at > 0 && at % MonthDays == 0).ToList();
        if (months.Count > 0)
            yield return $"Of having been out: {string.Join(", ", months.Select(day => $"{Engine.Words.Percent(day.By)} by {Engine.Words.Day(day.Day)}"))}.";
        var due = drawing.Days.Where(day => day.By >= drawing.Limit).Select(day => (DateOnly?)day.Day).FirstOrDefault();
        yield return due is { } reached
            ? $"A check is due at {Engine.Words.Percent(drawing.Limit)}, reached on {Engine.Words.Day(reached)}."
            : $"A check is due at {Engine.Words.Percent(drawing.Limit)}, which is not reached by {Engine.Words.Day(drawing.Last)}.";
        if (drawing.Marks.Count > 0)
            yield return $"Marked: {string.Join("; ", drawing.Marks.Select(mark => $"{mark.Words} on {Engine.Words.Day(mark.Day)}"))}.";
    }
}
