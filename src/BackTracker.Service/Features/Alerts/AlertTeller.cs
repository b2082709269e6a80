using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Alerts;

/// <summary>For what somebody waits who is to be told of an alert.</summary>
internal enum Waits
{
    Nobody,
    Digest,
    Morning,
}

/// <summary>Decides who of a yard is told of some alerts; writes the decisions that are new, and the letters they lead to. Hold the yard first.</summary>
/// <param name="session">The transaction.</param>
/// <param name="yard">The yard.</param>
/// <param name="policy">Settings.</param>
internal sealed class AlertTeller(WriteSession session, YardRow yard, AlertPolicy policy)
{
    /// <summary>Holds a yard and tells what cannot wait there.</summary>
    public static async Task TellYardAsync(WriteSession session, string yardId, AlertPolicy policy)
    {
        await YardStore.HoldAsync(session, yardId);
        var yard = (await YardStore.FindAsync(session, Sight.All, yardId))!;
        await new AlertTeller(session, yard, policy).TellAsync(await AlertStore.ToTellInYardAsync(session, yardId), TellOccasion.AtOnce);
    }

    private readonly DateTime _local = YardTime.Local(yard.TimeZone, session.Now);

    private DateOnly Today => DateOnly.FromDateTime(_local);

    public async Task TellAsync(IReadOnlyList<AlertRow> alerts, TellOccasion occasion)
    {
        if (alerts.Count == 0)
            return;
        var decided = await DecideAsync(alerts, new Moment(Today, TimeOnly.FromDateTime(_local), occasion));
        var letters = await WriteLettersAsync(decided, occasion);
        foreach (var one in decided.Where(one => one.IsNew))
            await AlertDecisionStore.AddAsync(session, RowOf(one, letters));
        foreach (var alert in alerts)
            await AlertStore.NoteWaitAsync(session, alert.Id, Words.Write(WaitsOf(decided.Where(one => one.Alert.Id == alert.Id))));
    }

    private async Task<IReadOnlyList<Decided>> DecideAsync(IReadOnlyList<AlertRow> alerts, Moment moment)
    {
        var receivers = await Receivers.OfYardAsync(session, yard.Id);
        if (receivers.Count == 0)
            return [];
        var before = (await AlertDecisionStore.OfAlertsAsync(session, [.. alerts.Select(alert => alert.Id)])).ToLookup(row => row.AlertId);
        var booked = await AlertStore.BookedInYardAsync(session, yard.Id);
        IReadOnlyList<QuietPeriod> quiet = [.. (await QuietPeriodStore.LastingInYardAsync(session, yard.Id, Today)).Select(AlertMapping.ToQuiet)];
        var decided = new List<Decided>();
        foreach (var alert in alerts)
        {
            var last = before[alert.Id].GroupBy(row => row.SubscriptionId).ToDictionary(own => own.Key, own => own.Last());
            decided.AddRange(Telling.Decide(AlertMapping.ToTell(alert, booked), receivers, HeardOf(alert, before[alert.Id], receivers, moment.Occasion), quiet, moment, policy)
                .Select(decision => new Decided(alert, decision, !IsSame(last.GetValueOrDefault(decision.ReceiverId), alert, decision))));
        }
        return decided;
    }

    /// <summary>
    /// What receivers heard last. What a mailbox refused is not tried there again until it takes letters, but a sign for the vet
    /// is, once a day.
    /// </summary>
    private static Dictionary<string, long> HeardOf(AlertRow alert, IEnumerable<AlertDecisionRow> decisions, IReadOnlyList<Receiver> receivers, TellOccasion occasion)
    {
        var isOver = alert.State == Words.Write(AlertState.Settled);
        var isTriedAgain = occasion == TellOccasion.Digest && !isOver && alert.Cause == Words.Write(Cause.VetFirst);
        var given = receivers.Where(receiver => receiver.Mailbox == Mailbox.Refuses && !isTriedAgain).Select(receiver => receiver.Id).ToHashSet();
        // Whom the beginning did not reach need not hear of the end.
        bool Counts(AlertDecisionRow row) => row.Verdict == Words.Write(Verdict.Told) || (row.Verdict == Words.Write(Verdict.NotSent)
            && given.Contains(row.SubscriptionId) && (!isOver || row.News == Words.Write(AlertNews.Settled)));
        return decisions.Where(Counts).GroupBy(row => row.SubscriptionId).ToDictionary(own => own.Key, own => own.Max(row => row.ChangeNo));
    }

    private static bool IsSame(AlertDecisionRow? last, AlertRow alert, TellDecision decision) =>
        last is not null && last.ChangeNo == alert.ChangeNo && last.Verdict == Words.Write(decision.Verdict) && last.Reason == decision.Reason;

    /// <summary>One letter to each receiver who is told anything; returns their ids by receiver.</summary>
    private async Task<Dictionary<string, string>> WriteLettersAsync(IReadOnlyList<Decided> decided, TellOccasion occasion)
    {
        var letters = new Dictionary<string, string>();
        foreach (var told in decided.Where(one => one.Decision.Verdict == Verdict.Told).GroupBy(one => one.Decision.ReceiverId))
        {
            var letter = new Letter(yard.Name, Today, LetterLines.Of(told.Select(one => (one.Alert, one.Decision.News))), []);
            letters[told.Key] = await WriteAsync(told.Key, Words.Write(occasion), letter);
        }
        return letters;
    }

    /// <summary>Puts a letter on its way; returns its id.</summary>
    public async Task<string> WriteAsync(string receiverId, string occasion, Letter letter)
    {
        var message = new MessageRow
        {
            Id = session.NewId(),
            SubscriptionId = receiverId,
            YardId = yard.Id,
            Occasion = occasion,
            Body = Json.Write(letter),
            NextAt = session.NowText,
            CreatedAt = session.NowText,
        };
        await MessageStore.AddAsync(session, message);
        return message.Id;
    }

    private AlertDecisionRow RowOf(Decided one, Dictionary<string, string> letters) => new()
    {
        Id = session.NewId(),
        AlertId = one.Alert.Id,
        SubscriptionId = one.Decision.ReceiverId,
        ChangeNo = one.Alert.ChangeNo,
        News = Words.Write(one.Decision.News),
        Verdict = Words.Write(one.Decision.Verdict),
        Reason = one.Decision.Reason,
        MessageId = one.Decision.Verdict == Verdict.Told ? letters[one.Decision.ReceiverId] : null,
        CreatedAt = session.NowText,
    };

    private static Waits WaitsOf(IEnumerable<Decided> own) => own
        .Select(one => one.Decision.Verdict switch
        {
            Verdict.WaitsForMorning => Waits.Morning,
            Verdict.WaitsForDigest or Verdict.Quiet => Waits.Digest,
            _ => Waits.Nobody,
        })
        .DefaultIfEmpty(Waits.Nobody)
        .Max();

    private sealed record Decided(AlertRow Alert, TellDecision Decision, bool IsNew);
}
