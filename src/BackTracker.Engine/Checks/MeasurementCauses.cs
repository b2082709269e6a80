using BackTracker.Engine.Assessments;
using BackTracker.Engine.Commissions;

namespace BackTracker.Engine.Checks;

/// <summary>Re-measures: cheap, done by the yard, one for the horse.</summary>
internal static class MeasurementCauses
{
    /// <summary>Days between measurements of the horse as it is now, and why in words.</summary>
    public static (int Days, string Why) Interval(Situation situation)
    {
        var policy = situation.Policy;
        var days = policy.MeasureDays(situation.Phase);
        return situation.IsGrowing && policy.ChangingMeasureDays <= days
            ? (policy.ChangingMeasureDays, "while growing")
            : (days, CheckWords.Phase(situation.Phase));
    }

    /// <summary>Day by which the horse is to be measured again; the day itself where it never was.</summary>
    public static DateOnly DueOn(Situation situation) =>
        situation.LastSession is { } last ? last.On.AddDays(Interval(situation).Days) : situation.Today;

    public static IEnumerable<WantedCheck> All(Situation situation) =>
        FollowUps(situation).Concat(BeforeWork(situation)).Concat(BodyCauses.Changes(situation)).Concat(Commissions(situation)).Prepend(Age(situation)).Where(want => !IsAnswered(want.Reasons[0], situation));

    /// <summary>Whether a session has done what a re-measure was asked for.</summary>
    public static bool IsAnswered(Reason reason, Situation situation) => situation.LastSession is { } last && reason.Cause switch
    {
        Cause.MeasurementAge => reason.SourceId is null || last.On > reason.On,
        Cause.CommissionRisk or Cause.CommissionAge => last.On > reason.On,
        Cause.DatedEvent => last.On >= reason.On.AddDays(situation.Policy.EventFollowUpDays - situation.Policy.EventFollowUpEarlyDays),
        Cause.BodyChange => last.On > reason.On || last.Id == reason.SourceId,
        Cause.BackToWork => last.On >= reason.On.AddDays(-situation.Policy.BeforeWorkDays),
        Cause.ForecastWide => situation.Facts.Sessions.FirstOrDefault(session => session.Id == reason.SourceId) is { } source && last.On > source.On,
        _ => last.On >= reason.On,
    };

    private static WantedCheck Age(Situation situation)
    {
        var due = DueOn(situation);
        var (days, why) = Interval(situation);
        var reason = situation.LastSession is { } last
            ? new Reason(Cause.MeasurementAge, $"Last measured on {Words.Day(last.On)}: every {Words.Span(days)} {why}.", last.On, null, null, days, "days", last.Id)
            : new Reason(Cause.MeasurementAge, "The back was never measured before work.", due, null, null, null, null, null);
        return Deadlines.Measurement(situation, due, reason);
    }

    private static IEnumerable<WantedCheck> FollowUps(Situation situation)
    {
        var after = situation.Policy.EventFollowUpDays;
        return situation.Facts.Events
            .Where(item => item.On <= situation.Today && item.Kind != EventKind.Other)
            .Select(item => Deadlines.Measurement(situation, item.On.AddDays(after), new Reason(
                Cause.DatedEvent, $"{CheckWords.Event(item.Kind)} on {Words.Day(item.On)}: measure again {Words.Span(after)} after it.",
                item.On, null, null, after, "days", item.Id)));
    }

    // A planned start that has passed unmeasured is asked for until the follow-up takes over.
    private static IEnumerable<WantedCheck> BeforeWork(Situation situation) => situation.Calendar.Starts
        .Where(start => start.Occurrence == Occurrence.Planned && start.On > situation.Today.AddDays(-situation.Policy.EventFollowUpDays))
        .Select(start => Deadlines.Measurement(situation, start.On, new Reason(
            Cause.BackToWork, $"Work is to begin on {Words.Day(start.On)}: measure before it.", start.On, null, null, null, null, start.SourceId)));

    // Where the horse was never measured, its own age asks for it already.
    private static IEnumerable<WantedCheck> Commissions(Situation situation) => situation.LastSession is not { } last ? [] :
        from view in situation.Commissions
        from why in Remeasure.Reasons(view.Stage, last.On, view.DeliveryOn, view.ProbabilityFits, situation.Policy)
        let number = why.Cause == Cause.CommissionRisk ? (Value: view.ProbabilityFits, Unit: "probability") : (Template.OldDays, "days")
        select Deadlines.Measurement(situation, why.DueOn, new Reason(
            why.Cause, $"{view.SaddleLabel} is being made. {why.Text}", last.On, null, null, number.Value, number.Unit, view.CommissionId));
}
