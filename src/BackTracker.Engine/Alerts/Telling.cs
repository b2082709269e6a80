using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>Who is told of an alert, when, and why. Each receiver passes the same gates in order, and the first that stops them says why.</summary>
public static class Telling
{
    /// <summary>A decision for each receiver who has not been told the latest news: nothing is told twice.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="receivers">Everybody who may be told of its yard.</param>
    /// <param name="heard">The number of the news each receiver was last told, by receiver; absent for one who never was.</param>
    /// <param name="quiet">Quiet periods of the yard.</param>
    /// <param name="moment">When.</param>
    /// <param name="policy">Settings.</param>
    public static IReadOnlyList<TellDecision> Decide(
        AlertToTell alert, IReadOnlyList<Receiver> receivers, IReadOnlyDictionary<string, long> heard, IReadOnlyList<QuietPeriod> quiet, Moment moment, AlertPolicy policy)
    {
        var ladder = new Ladder(alert, receivers, policy);
        return
        [
            .. receivers
                .Select(receiver => (Receiver: receiver, Heard: heard.GetValueOrDefault(receiver.Id)))
                .Where(who => who.Heard < alert.Change)
                .Select(who => Of(alert, who.Receiver, who.Heard, ladder, quiet, moment, policy)),
        ];
    }

    private static TellDecision Of(
        AlertToTell alert, Receiver receiver, long heard, Ladder ladder, IReadOnlyList<QuietPeriod> quiet, Moment moment, AlertPolicy policy)
    {
        var step = ladder.StepOf(receiver, moment.Today);
        var news = NewsFor(alert, receiver, heard, step);
        if (WhyNot(alert, receiver, heard, step, news, ladder, moment.Today) is { } why)
            return new(receiver.Id, Verdict.NotTold, news, why);
        if (quiet.Where(period => period.Covers(alert, moment.Today)).MaxBy(period => period.Until) is { } period)
            return new(receiver.Id, Verdict.Quiet, news, $"quiet until {Words.Day(period.Until)}, {period.Reason.TrimEnd('.')}");
        var said = heard == 0 && step.Hears == Hearing.Climbed ? step.Reason : AlertWords.Of(news);
        var (verdict, when) = When(alert, news, moment, policy);
        return new(receiver.Id, verdict, news, $"{said}, {when}");
    }

    private static string? WhyNot(AlertToTell alert, Receiver receiver, long heard, Ladder.Step step, AlertNews news, Ladder ladder, DateOnly today) =>
        alert.State == AlertState.Settled && heard == 0 && !WantsItsEndAlone(alert, receiver) ? "settled before they were told of it"
        : heard == 0 && step.Hears == Hearing.NotYet ? step.Reason
        : news == AlertNews.Overdue && alert.State == AlertState.Acknowledged && !alert.Problem.WantsVet(today) ? "acknowledged: nobody is reminded of it"
        : !ladder.Hears(receiver, news) ? $"their subscription leaves out {EventTypes.Of(alert.Problem.Key, news)}"
        : null;

    private static bool WantsItsEndAlone(AlertToTell alert, Receiver receiver) =>
        receiver.Wants(EventTypes.Of(alert.Problem.Key, AlertNews.Settled)) && !receiver.Wants(EventTypes.Of(alert.Problem.Key, AlertNews.Raised));

    // Who never heard of it is told that it is new, or what last happened where they asked for that alone.
    private static AlertNews NewsFor(AlertToTell alert, Receiver receiver, long heard, Ladder.Step step)
    {
        var own = heard > 0 || alert.State == AlertState.Settled ? alert.News
            : step.Hears == Hearing.Climbed ? AlertNews.Overdue
            : AlertNews.Raised;
        bool Wants(AlertNews news) => receiver.Wants(EventTypes.Of(alert.Problem.Key, news));
        return !Wants(own) && Wants(alert.News) ? alert.News : own;
    }

    private static (Verdict Verdict, string When) When(AlertToTell alert, AlertNews news, Moment moment, AlertPolicy policy)
    {
        if (moment.Occasion == TellOccasion.Digest)
            return (Verdict.Told, "in the morning's letter");
        var isNight = policy.IsNight(moment.Time);
        if (alert.Problem.Urgency != Urgency.Now || news == AlertNews.Overdue || (news == AlertNews.Settled && isNight))
            return (Verdict.WaitsForDigest, "waits for the morning's letter");
        if (alert.Problem.IsVetFirst && news != AlertNews.Settled)
            return (Verdict.Told, "at once: a vet looks first");
        return isNight ? (Verdict.WaitsForMorning, "waits for the end of the night")
            : news == AlertNews.Settled ? (Verdict.Told, "at once")
            : (Verdict.Told, "at once: before the next ride");
    }
}
