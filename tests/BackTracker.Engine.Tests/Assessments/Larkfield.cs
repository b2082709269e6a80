using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Assessments;

/// <summary>Invented horses of an invented yard, as starting points for tests.</summary>
internal static class Larkfield
{
    public static readonly DateOnly Today = new(2026, 6, 1);

    public static readonly CheckPolicy Policy = new();

    public static readonly Metric T13 = Metric.Width(Station.Of(13), 150);

    /// <summary>A grown horse nothing was ever recorded of.</summary>
    public static HorseFacts Blank { get; } = new("h1", "Bramble", new DateOnly(2014, 4, 1), HorseStatus.Active, [], [], [], [], [], []);

    /// <summary>A grown horse in steady work, measured every four weeks and last a week ago, in a saddle of the right width: nothing is to be done.</summary>
    public static HorseFacts Settled { get; } = Blank with
    {
        Sessions = [.. Enumerable.Range(0, 8).Select(i => Session($"s{i}", Today.AddDays(-7 - (28 * (7 - i))), 300))],
        Phases = [new PhaseFact("p1", new DateOnly(2025, 1, 1), Phase.Steady)],
        Pairings = [Pairing("a", 302)],
    };

    public static SessionFact Session(string id, DateOnly on, double width, int vertebra = 13, ExerciseState exercise = ExerciseState.Before) =>
        new(id, on, exercise, [new Reading(Metric.Width(Station.Of(vertebra), 150), width)]);

    public static PairingFact Pairing(string id, double treeWidth, int vertebra = 13) => new(
        id, $"saddle-{id}", $"Trail saddle {id}", new DateOnly(2026, 3, 1), null, 240,
        [new TreeShapeFact($"tree-{id}", new DateOnly(2026, 3, 1), [new TreeWidth(Station.Of(vertebra), treeWidth)])],
        [], FitTolerances.Default, new Dictionary<string, Severity>())
    { Filling = Filling.Foam };

    /// <summary>The findings of the first pairing on a day.</summary>
    public static IReadOnlyList<Finding> FitOn(HorseFacts facts, DateOnly day) =>
        new PairingFit(facts.Pairings[0], new HorseTrends(facts, TrendModel.Shipped), Policy, day, (day, day)).On(day);

    public static HorseFacts With(this HorseFacts facts, ObservationFact seen) => facts with { Observations = [.. facts.Observations, seen] };

    public static HorseFacts With(this HorseFacts facts, CheckFact check) => facts with { Checks = [.. facts.Checks, check] };

    public static HorseFacts With(this HorseFacts facts, SessionFact session) => facts with { Sessions = [.. facts.Sessions, session] };

    public static HorseFacts With(this HorseFacts facts, EventFact item) => facts with { Events = [.. facts.Events, item] };

    public static HorseFacts With(this HorseFacts facts, PhaseFact phase) => facts with { Phases = [.. facts.Phases, phase] };

    public static HorseFacts With(this HorseFacts facts, params RideFact[] rides) => facts with { Rides = [.. facts.Rides, .. rides] };

    public static HorseFacts With(this HorseFacts facts, Func<PairingFact, PairingFact> change) => facts with { Pairings = [.. facts.Pairings.Select(change)] };

    public static HorseFacts WithTree(this HorseFacts facts, double width) => facts with { Pairings = [Pairing("a", width)] };

    public static ObservationFact Seen(ObservationKind kind, DateOnly on, ObservationSeverity severity = ObservationSeverity.Unstated, int? score = null) =>
        new($"o-{kind}", on, kind, severity, score, null);

    public static CheckFact FitDone(DateOnly on, params Reason[] reasons) => Done(CheckKind.Fit, on, reasons);

    public static CheckFact Done(CheckKind kind, DateOnly on, params Reason[] reasons) =>
        new($"done-{on:yyyyMMdd}", kind, "a", CheckState.Done, new CheckDays(on, on, on, on, Urgency.Routine), reasons, null, on, null);

    public static Assessment Assess(this HorseFacts facts, DateOnly? on = null) =>
        HorseAssessment.Assess(facts, Policy, TrendModel.Shipped, on ?? Today);

    public static WantedCheck? Wanted(this HorseFacts facts, CheckKind kind, DateOnly? on = null) =>
        facts.Assess(on).Wanted.SingleOrDefault(check => check.Kind == kind);

    /// <summary>Carries decisions out as a store would.</summary>
    public static HorseFacts Apply(this HorseFacts facts, Assessment assessment)
    {
        var checks = facts.Checks.ToDictionary(check => check.Id);
        foreach (var decision in assessment.Decisions)
        {
            var (id, check) = decision switch
            {
                CheckDecision.Open open => ($"c{checks.Count}", Opened($"c{checks.Count}", open.Check, assessment.Today)),
                CheckDecision.Revise revise => (revise.CheckId, checks[revise.CheckId] with { Days = revise.Days, Reasons = revise.Reasons }),
                CheckDecision.Complete complete => (complete.CheckId, checks[complete.CheckId] with { State = CheckState.Done, DoneOn = complete.On }),
                CheckDecision.Drop drop => (drop.CheckId, checks[drop.CheckId] with { State = CheckState.Dropped }),
                _ => throw new InvalidOperationException(decision.ToString()),
            };
            checks[id] = check;
        }
        return facts with { Checks = [.. checks.Values], Pairings = [.. facts.Pairings.Select(pairing => Remember(pairing, assessment))] };
    }

    public static CheckFact Opened(string id, WantedCheck want, DateOnly on) =>
        new(id, want.Kind, want.PairingId, CheckState.Open, want.Days, want.Reasons, null, null, null) { OpenedOn = on };

    private static PairingFact Remember(PairingFact pairing, Assessment assessment) =>
        assessment.Pairings.FirstOrDefault(view => view.PairingId == pairing.Id) is { } view
            ? pairing with { LastSeverities = view.Severities }
            : pairing;
}
