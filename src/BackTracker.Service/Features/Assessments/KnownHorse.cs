using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Assessments;

/// <summary>What was known of a horse on a day.</summary>
/// <param name="AsOf">The day: as asked, else today in the yard.</param>
/// <param name="All">Every fact, later ones among them.</param>
/// <param name="Trends">Trends of what was known.</param>
internal sealed record KnownHorse(DateOnly AsOf, HorseFacts All, HorseTrends Trends)
{
    /// <summary>Settings of the horse.</summary>
    public required CheckPolicy Policy { get; init; }

    /// <summary>Ids and versions of every fact.</summary>
    public required AssessmentInputs Inputs { get; init; }

    public static async Task<KnownHorse> LoadAsync(ReadSession session, string horseId, QueryDay? asOf, TimeProvider clock, CheckPolicy service)
    {
        var loaded = await HorseFactsLoader.LoadAsync(session, horseId, service, asOf?.Day ?? DateOnly.MaxValue);
        var day = asOf?.Day ?? YardTime.Day(loaded.TimeZone, clock.GetUtcNow());
        return new KnownHorse(day, loaded.Facts, new HorseTrends(loaded.Facts.AsOf(day), loaded.Model)) { Policy = loaded.Policy, Inputs = loaded.Inputs };
    }
}
