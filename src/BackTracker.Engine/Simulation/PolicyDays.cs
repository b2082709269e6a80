using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Simulation;

/// <summary>One horse in an installation: the yard measures and books as it is asked, and keeps the checks as it is told.</summary>
internal sealed class PolicyDays : DayByDay
{
    // An installation looks every night. Between the days on which something can come up, a week at most, a passing night hardly changes anything.
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
        if (!DoWhatIsDue(day) && !eventDays.Contains(day) && day < nextLook)
            return;
        Look(day);
        Book(day);
    }

    private bool DoWhatIsDue(int day)
    {
        var today = SimulatedHorse.Date(day);
        var isVisited = checks.Exists(check => check.State == CheckState.Booked && check.BookedOn <= today);
        var isMeasured = !isVisited && life.LastSession < day
            && checks.Exists(check => check is { Kind: CheckKind.Remeasure, State: CheckState.Open } && check.Days.DueOn <= today);
        if (isVisited)
            Visit(day);
        if (isMeasured)
            life.Measure(day);
        return isVisited || isMeasured;
    }

    // Whoever comes does everything that was asked of a fitter.
    private void Visit(int day)
    {
        life.Visit(day);
        pairing = pairing with { TreeShapes = [Shape()] };
        Change(IsForFitter, check => check with { State = CheckState.Done, DoneOn = SimulatedHorse.Date(day) });
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
        nextLook = ComingUp(assessment).Select(date => date.DayNumber - SimulatedHorse.FirstDay.DayNumber).Where(next => next > day).Append(day + LongestUnwatchedDays).Min();
    }

    // Days on which a passing night alone may change something.
    private IEnumerable<DateOnly> ComingUp(Assessment assessment)
    {
        yield return SimulatedHorse.Date(life.LastSession + policy.ChangingMeasureDays + 1);
        foreach (var want in assessment.Wanted)
            yield return want.NoticeOn;
        foreach (var check in checks.Where(check => check.State is CheckState.Open or CheckState.Booked))
        {
            yield return check.Days.BookBy;
            yield return check.Days.DueOn.AddDays(1);
        }
        if (assessment.Pairings[0].Outlook?.OutBy50On is { } likely)
            yield return likely;
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
