using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Commissions;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Policies;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Features.Repeatability;
using BackTracker.Service.Features.Rides;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Observations;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;
using TrendModel = BackTracker.Engine.Trends.TrendModel;

namespace BackTracker.Service.Features.Assessments;

/// <summary>Everything an assessment reads of a horse.</summary>
/// <param name="Facts">For the engine.</param>
/// <param name="Policy">Settings of the horse.</param>
/// <param name="Model">The trend model with what was learned up to the day.</param>
/// <param name="Inputs">Ids and versions of it.</param>
/// <param name="TimeZone">Time zone of the yard.</param>
/// <param name="Checks">The checks as stored.</param>
/// <param name="Observations">The observations as stored.</param>
/// <param name="Last">The assessment before; null where there is none.</param>
public sealed record LoadedHorse(
    HorseFacts Facts, CheckPolicy Policy, TrendModel Model, AssessmentInputs Inputs, string TimeZone, IReadOnlyList<CheckRow> Checks, IReadOnlyList<ObservationRow> Observations, AssessmentRow? Last)
{
    /// <summary>The saddles that are being made for it as stored.</summary>
    public required StoredCommissions Commissions { get; init; }
}

/// <summary>Loads the facts of a horse; the engine looks at nothing else.</summary>
internal static class HorseFactsLoader
{
    /// <summary>The facts, with repeat errors learned from everything measured up to now.</summary>
    public static Task<LoadedHorse> LoadAsync(ReadSession session, string horseId, CheckPolicy service) => LoadAsync(session, horseId, service, DateOnly.MaxValue);

    /// <param name="session">Session to read with.</param>
    /// <param name="horseId">The horse.</param>
    /// <param name="service">Settings of the service.</param>
    /// <param name="learnedUpTo">Last day from which repeat errors and priors are learned; the facts themselves are all of them.</param>
    public static async Task<LoadedHorse> LoadAsync(ReadSession session, string horseId, CheckPolicy service, DateOnly learnedUpTo)
    {
        var horse = await HorseStore.FindAsync(session, Sight.All, horseId) ?? throw new InvalidOperationException($"Horse {horseId} is not there.");
        var yard = (await YardStore.FindAsync(session, Sight.All, horse.YardId))!;
        var measurements = await MeasurementStore.LiveOfHorseAsync(session, horseId);
        var phases = await PhaseStore.LiveOfHorseAsync(session, horseId);
        var events = await EventStore.LiveOfHorseAsync(session, horseId);
        var observations = await ObservationStore.LiveOfHorseAsync(session, horseId);
        var checks = await CheckStore.OfHorseAsync(session, horseId);
        var last = await AssessmentStore.LatestAsync(session, horseId);
        var levels = await PolicyLevels.LoadAsync(session, service, horse.YardId, horse.Id);
        var fitters = new KnownFitters(await PersonStore.FittersOfYardAsync(session, horse.YardId), checks);
        var tack = await StoredTack.LoadAsync(session, horseId, checks);
        var commissions = await StoredCommissions.LoadAsync(session, horseId);
        SessionFact[] sessions = [.. measurements.Select(MeasurementFacts.ToSession)];
        var model = await PriorsInUse.ModelAsync(session, learnedUpTo);
        var errors = await RepeatErrors.LoadAsync(session, horse.YardId, learnedUpTo, sessions, model.Learned);
        var facts = new HorseFacts(
            horse.Id, horse.Name, Instants.ReadDayIfAny(horse.BornOn), Words.Read<HorseStatus>(horse.Status),
            sessions, [.. phases.Select(HorseHistory.ToFact)], [.. events.Select(HorseHistory.ToFact)],
            [.. observations.Select(ObservationFacts.ToFact)], tack.ToFacts(levels, fitters, LastSeverities(last)), [.. checks.Select(CheckMapping.ToFact)])
        {
            Rides = [.. tack.Rides.Select(RideFacts.ToFact)],
            Closed = ClosedDays.Of(yard),
            Commissions = commissions.ToFacts(),
            Errors = errors,
        };
        var inputs = new AssessmentInputs(
            new(horse.Id, horse.Version), new(yard.Id, yard.Version), [.. measurements.Select(m => new ReadVersion(m.Id, m.Version))],
            [.. phases.Select(p => new ReadVersion(p.Id, p.Version))], [.. events.Select(e => new ReadVersion(e.Id, e.Version))],
            [.. observations.Select(o => new ReadVersion(o.Id, o.Version))], [.. tack.Pairings.Select(p => new ReadVersion(p.Id, p.Version))],
            [.. tack.Shapes.Concat(commissions.Shapes).DistinctBy(s => s.Id).Select(s => new ReadVersion(s.Id, s.Version))], [.. tack.Adjustments.Select(a => new ReadVersion(a.Id, a.Version))],
            ReadRides.Of(tack.Rides),
            [.. fitters.People.Select(p => new ReadVersion(p.Id, p.Version))], service, levels.Yard.ByName, levels.Pairings.ToDictionary(own => own.Key, own => own.Value.ByName),
            [.. errors.Learned.Select(ErrorDocument.Of)], model.Learned.For(facts))
        {
            Commissions = [.. commissions.Rows.Select(c => new ReadVersion(c.Id, c.Version))],
            Saddles = [.. tack.Pairings.Select(p => new ReadVersion(p.SaddleId, p.SaddleVersion)).Distinct()],
        };
        return new LoadedHorse(facts, levels.OfHorse, model, inputs, yard.TimeZone, checks, observations, last) { Commissions = commissions };
    }

    private static Dictionary<string, IReadOnlyDictionary<string, Severity>> LastSeverities(AssessmentRow? last) =>
        last is null ? [] : AssessmentDocument.Read(last.Outputs).Pairings
            .ToDictionary(p => p.PairingId, p => (IReadOnlyDictionary<string, Severity>)p.Findings.ToDictionary(f => f.Key, f => f.Severity));
}
