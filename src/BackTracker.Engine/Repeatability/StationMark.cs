using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Repeatability;

/// <summary>How surely a person finds a station again.</summary>
/// <param name="Station">The station.</param>
/// <param name="Sessions">Sessions in which they measured there.</param>
/// <param name="Placed">Those of them that say where it lies, mm from T8.</param>
/// <param name="Scatter">Scatter of these places about the mean of each horse, mm.</param>
public sealed record StationMark(Station Station, int Sessions, int Placed, RepeatScatter Scatter)
{
    /// <summary>The stations a person measured, front to rear; T8 is where the others are counted from.</summary>
    /// <param name="sessions">Sessions of the person.</param>
    public static IReadOnlyList<StationMark> Of(IReadOnlyList<HorseSession> sessions) =>
    [
        .. sessions.SelectMany(item => item.Session.Readings).Select(reading => reading.Metric.Station).OfType<Station>()
            .Where(station => station.Vertebra != OriginVertebra)
            .Distinct()
            .Order()
            .Select(station => Of(station, sessions)),
    ];

    private const int OriginVertebra = 8;

    private static StationMark Of(Station station, IReadOnlyList<HorseSession> sessions)
    {
        HorseSession[] measured = [.. sessions.Where(item => item.Session.Readings.Any(reading => reading.Metric.Station == station))];
        var places = measured.Where(item => item.Session.StationPositionsMm.ContainsKey(station)).ToLookup(item => item.HorseId, item => item.Session.StationPositionsMm[station]);
        return new StationMark(station, measured.Length, places.Sum(horse => horse.Count()), RepeatScatter.OfAll(places.Select(horse => horse.ToList())));
    }
}
