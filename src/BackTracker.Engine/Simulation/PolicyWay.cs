using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Simulation;

/// <summary>
/// What an installation does: the horse is assessed, checks are opened, revised and dropped as decided, the yard measures on the day a re-measure is due
/// and books the fitter on the last day to book, no sooner than the fitter can come.
/// </summary>
/// <param name="name">What it is called in tables.</param>
/// <param name="policy">Limits and intervals.</param>
public sealed class PolicyWay(string name, CheckPolicy policy) : WayOfWorking
{
    /// <inheritdoc/>
    public override string Name => name;

    internal override DayByDay Begin(SimulatedLife life, SimulatedWorld world, TrendModel model) => new PolicyDays(life, world, policy, model);
}

internal sealed class PolicyDays : DayByDay
{
    // An installation looks every night; between these days nothing comes up that a week would not show as well.
    private const int LongestUnwatchedDays = 7;
    private const string PairingId = "pairing";
    private readonly SimulatedLife life;
    private readonly SimulatedWorld world;
    private readonly CheckPolicy policy;
    private readonly TrendModel model;
    private readonly HashSet<int> eventDays;
    private readonly List<CheckFact> checks = [];
    private PairingFact pairing;
    private int nextLook = SimulatedWorld.Start;
    private int opened;

    public PolicyDays(SimulatedLife life, SimulatedWorld world, CheckPolicy policy, TrendModel model)
    {
        (this.life, this.world, this.policy, this.model) = (life, world, policy, model);
        eventDays = [.. life.Horse.Events.Where(item => item.IsKnown).Select(item => item.Day)];
        var tolerances = new FitTolerances(new Dictionary<Measure, Limits> { [Measure.Width150] = Limits.Either(world.BandMm / 2, world.BandMm) });
        pairing = new PairingFact(PairingId, "saddle", "the saddle", SimulatedHorse.Date(SimulatedWorld.Start), null, null, [Shape()], [], tolerances, new Dictionary<string, Severity>())
        {
            Tree = TreeKind.Adjustable,
            Filling = Filling.Foam,
            Fitters = [new FitterFact("fitter", world.LeadDays, [])],
        };
        Look(SimulatedWorld.Start);
    }

    public override void Pass(int day)
    {
        var happened = eventDays.Contains(day);
        if (checks.Exists(check => check.State == CheckState.Booked && check.BookedOn <= SimulatedHorse.Date(day)))
            (_, happened) = (Visit(day), true);
        else if (life.LastSession < day && checks.Exists(check => IsOpen(check, CheckKind.Remeasure) && check.Days.DueOn <= SimulatedHorse.Date(day)))
            (_, happened) = (ReadBack(day), true);
        if (!happened && day < nextLook)
            return;
        Look(day);
        Book(day);
    }

    private bool ReadBack(int day)
    {
        life.Measure(day);
        return true;
    }

    private bool Visit(int day)
    {
        life.Visit(day);
        pairing = pairing with { TreeShapes = [Shape()] };
        Change(IsForFitter, check => check with { State = CheckState.Done, DoneOn = SimulatedHorse.Date(day) });
        return true;
    }

    private TreeShapeFact Shape() =>
        new($"shape-{life.TreeSetOn}", SimulatedHorse.Date(life.TreeSetOn), [new TreeWidth(SimulatedHorse.Measured.Station!.Value, life.TreeMm)]);

    private void Look(int day)
    {
        var facts = life.Facts with { Pairings = [pairing], Checks = [.. checks] };
        var assessment = HorseAssessment.Assess(facts, policy, model, SimulatedHorse.Date(day));
        pairing = pairing with { LastSeverities = assessment.Pairings[0].Severities };
        foreach (var decision in assessment.Decisions)
            CarryOut(decision, SimulatedHorse.Date(day));
        var notices = assessment.Wanted.Select(want => want.NoticeOn).Concat(checks.Where(check => check.State == CheckState.Open).Select(check => check.Days.BookBy));
        nextLook = notices.Select(date => date.DayNumber - SimulatedHorse.FirstDay.DayNumber).Where(next => next > day).Append(day + LongestUnwatchedDays).Min();
    }

    private void Book(int day)
    {
        var today = SimulatedHorse.Date(day);
        var soonest = today.AddDays(world.LeadDays);
        var booked = checks.Find(check => IsForFitter(check) && check.State == CheckState.Booked)?.BookedOn;
        foreach (var check in checks.FindAll(check => IsForFitter(check) && check.State == CheckState.Open && check.Days.BookBy <= today))
        {
            booked ??= check.Days.DueOn > soonest ? check.Days.DueOn : soonest;
            Change(other => other.Id == check.Id, found => found with { State = CheckState.Booked, BookedOn = booked });
        }
    }

    private void CarryOut(CheckDecision decision, DateOnly today)
    {
        switch (decision)
        {
            case CheckDecision.Open open:
                checks.Add(new CheckFact($"check-{++opened:D5}", open.Check.Kind, open.Check.PairingId, CheckState.Open, open.Check.Days, open.Check.Reasons, null, null, null) { OpenedOn = today });
                break;
            case CheckDecision.Revise revise:
                Change(check => check.Id == revise.CheckId, check => check with { Days = revise.Days, Reasons = revise.Reasons });
                break;
            case CheckDecision.Complete complete:
                Change(check => check.Id == complete.CheckId, check => check with { State = CheckState.Done, DoneOn = complete.On });
                break;
            case CheckDecision.Drop drop:
                checks.RemoveAll(check => check.Id == drop.CheckId);
                break;
        }
    }

    private static bool IsOpen(CheckFact check, CheckKind kind) => check.Kind == kind && check.State == CheckState.Open;

    private static bool IsForFitter(CheckFact check) => check.PairingId == PairingId && check.State is CheckState.Open or CheckState.Booked;

    private void Change(Predicate<CheckFact> which, Func<CheckFact, CheckFact> how)
    {
        for (var i = 0; i < checks.Count; i++)
        {
            if (which(checks[i]))
                checks[i] = how(checks[i]);
        }
    }
}
