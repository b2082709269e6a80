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
        var ladder = new Ladder(receivers, policy);
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
        var step = ladder.StepOf(alert, receiver, moment.Today);
        var news = NewsFor(alert, heard, step);
        var type = EventTypes.Of(alert.Problem.Key, news);
        var stop = alert.State == AlertState.Settled && heard == 0 ? "settled before they were told of it"
            : heard == 0 && step.Hears == Hearing.NotYet ? step.Reason
            : news == AlertNews.Overdue && alert.State == AlertState.Acknowledged ? "acknowledged: nobody is reminded of it"
            : !receiver.Wants(type) ? $"their subscription leaves out {type}"
            : null;
        if (stop is not null)
            return new(receiver.Id, Verdict.NotTold, news, stop);
        if (quiet.Where(period => period.Covers(alert, moment.Today)).MaxBy(period => period.Until) is { } period)
            return new(receiver.Id, Verdict.Quiet, news, $"quiet until {Words.Day(period.Until)}, {period.Reason.TrimEnd('.')}");
        var said = heard == 0 && step.Hears == Hearing.Climbed ? step.Reason : AlertWords.Of(news);
        var (verdict, when) = When(alert, news, moment, policy);
        return new(receiver.Id, verdict, news, $"{said}, {when}");
    }

    private static AlertNews NewsFor(AlertToTell alert, long heard, Ladder.Step step) =>
        heard > 0 || alert.State == AlertState.Settled ? alert.News
        : step.Hears == Hearing.Climbed ? AlertNews.Overdue
        : AlertNews.Raised;

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
