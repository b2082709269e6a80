using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Features.Fit;

/// <summary>Pictures of the risk by day, from the same numbers as the forecast.</summary>
internal static class RiskPictures
{
    /// <summary>What the picture shows.</summary>
    /// <param name="known">The pairing.</param>
    /// <param name="days">The forecast of all measures together.</param>
    public static RiskDrawing Drawing(KnownPairing known, IReadOnlyList<RiskDayAnswer> days) => new(
        $"Risk by day, {known.Pairing.SaddleLabel} on {known.Trends.Facts.HorseName}",
        [.. days.Select(day => new DrawnRisk(day.Day, day.ProbabilityOutOn, day.ProbabilityOutBy))],
        known.Policy.RiskLimit,
        [.. ChecksAhead(known, days[0].Day, days[^1].Day)]);

    private static IEnumerable<DrawnMark> ChecksAhead(KnownPairing known, DateOnly first, DateOnly last) => known.Trends.Facts.Checks
        .Where(check => check.State is CheckState.Open or CheckState.Booked && (check.PairingId is null || check.PairingId == known.Row.Id))
        .Select(check => new DrawnMark(check.BookedOn ?? check.Days.DueOn, $"{Words.Write(check.Kind)} {(check.BookedOn is null ? "due" : "booked")}"))
        .Where(mark => mark.Day >= first && mark.Day <= last).Distinct().OrderBy(mark => mark.Day);
}
