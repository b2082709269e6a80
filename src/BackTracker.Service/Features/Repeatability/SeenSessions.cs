using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Repeatability;

/// <summary>The sessions that an answer about repeatability rests on: the latest of those asked for, and the latest of all, in the yards that the key sees.</summary>
/// <param name="AsOf">The day known.</param>
/// <param name="Asked">Sessions of the person or method asked for, in order of day.</param>
/// <param name="Study">What they and the others say.</param>
internal sealed record SeenSessions(DateOnly AsOf, IReadOnlyList<HorseSession> Asked, RepeatStudy Study)
{
    private const int MostAsked = 400;
    private const int MostOthers = 1000;

    public static Task<SeenSessions> OfPersonAsync(ReadSession session, Sight sight, string personId, QueryDay? asOf, TimeProvider clock) =>
        LoadAsync(session, sight, asOf, clock, latest => latest with { MeasuredBy = personId });

    public static Task<SeenSessions> OfMethodAsync(ReadSession session, Sight sight, MeasuringMethod method, QueryDay? asOf, TimeProvider clock) =>
        LoadAsync(session, sight, asOf, clock, latest => latest with { Method = Words.Write(method) });

    // Nothing lies in the future: without a day asked for, all days count, wherever on earth the yards are.
    private static async Task<SeenSessions> LoadAsync(
        ReadSession session, Sight sight, QueryDay? asOf, TimeProvider clock, Func<LatestMeasurements, LatestMeasurements> asked)
    {
        var all = new LatestMeasurements(Instants.WriteDay(asOf?.Day ?? DateOnly.MaxValue), MostOthers);
        var own = await MeasurementStore.LatestAsync(session, sight, asked(all with { Most = MostAsked }));
        var others = await MeasurementStore.LatestAsync(session, sight, all);
        var today = DateOnly.FromDateTime(clock.GetUtcNow().UtcDateTime);
        HorseSession[] mine = [.. own.Select(Of)];
        var last = mine.Length > 0 && mine[^1].Session.On > today ? mine[^1].Session.On : today;
        var study = new RepeatStudy([.. own.UnionBy(others, row => row.Id).Select(Of)]) { Learned = (await PriorsInUse.ModelAsync(session, asOf?.Day ?? DateOnly.MaxValue)).Learned };
        return new SeenSessions(asOf?.Day ?? last, mine, study);
    }

    private static HorseSession Of(MeasurementRow row) => new(row.HorseId, MeasurementFacts.ToSession(row));
}
