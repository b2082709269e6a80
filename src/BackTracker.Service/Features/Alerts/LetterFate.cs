using BackTracker.Engine.Alerts;
using BackTracker.Service.Delivery;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Alerts;

/// <summary>A decision whose line is left out of its letter.</summary>
/// <param name="DecisionId">The decision.</param>
/// <param name="AlertId">Its alert.</param>
/// <param name="Why">Why, in words that follow a colon.</param>
internal sealed record LeftOut(string DecisionId, string AlertId, string Why);

/// <summary>What becomes of a letter between its writing and its sending, and what that means for the alerts it tells of.</summary>
internal static class LetterFate
{
    /// <summary>What is not true any more when a letter goes, or was never known to its receiver.</summary>
    public static async Task<IReadOnlyList<LeftOut>> LeftOutAsync(ReadSession session, MessageRow letter)
    {
        var decisions = await AlertDecisionStore.OfMessageAsync(session, letter.Id);
        if (decisions.Count == 0)
            return [];
        IReadOnlyList<string> alertIds = [.. decisions.Select(decision => decision.AlertId)];
        var alerts = (await AlertStore.ByIdAsync(session, alertIds)).ToDictionary(alert => alert.Id);
        var told = (await AlertDecisionStore.OfAlertsAsync(session, alertIds)).Where(row => row.SubscriptionId == letter.SubscriptionId).ToLookup(row => row.AlertId);
        return [.. decisions.Select(row => new LeftOut(row.Id, row.AlertId, WhyLeftOut(row, alerts[row.AlertId], told[row.AlertId]))).Where(left => left.Why.Length > 0)];
    }

    /// <summary>The letter as it goes.</summary>
    public static Letter Without(Letter letter, IReadOnlyList<LeftOut> leftOut) =>
        letter with { Lines = [.. letter.Lines.Where(line => !leftOut.Any(left => left.AlertId == line.AlertId))] };

    /// <summary>Whether nothing is left of a letter.</summary>
    public static bool IsEmptied(MessageRow letter, IReadOnlyList<LeftOut> leftOut) =>
        leftOut.Count > 0 && Without(Json.ReadStored<Letter>(letter.Body), leftOut) is { Lines.Count: 0, Visits.Count: 0 };

    /// <summary>Notes that a letter went, and what it left out.</summary>
    public static async Task NoteSentAsync(WriteSession session, MessageRow letter, IReadOnlyList<LeftOut> leftOut)
    {
        foreach (var left in leftOut)
            await AlertDecisionStore.NoteNotSentAsync(session, left.DecisionId, left.Why);
        foreach (var row in (await AlertDecisionStore.OfMessageAsync(session, letter.Id)).Where(row => !leftOut.Any(left => left.DecisionId == row.Id)))
            await AlertDecisionStore.NoteSentAsync(session, row.Id);
    }

    /// <summary>Notes that a letter did not go, and tells others at once what cannot wait. Hold its yard first.</summary>
    public static async Task NoteNotSentAsync(WriteSession session, MessageRow letter, string why, AlertPolicy policy)
    {
        var decisions = (await AlertDecisionStore.OfMessageAsync(session, letter.Id)).Where(row => row.Verdict == Words.Write(Verdict.Told)).ToList();
        if (decisions.Count == 0)
            return;
        foreach (var row in decisions)
            await AlertDecisionStore.NoteNotSentAsync(session, row.Id, why.TrimEnd('.'));
        var yard = (await YardStore.FindAsync(session, Sight.All, letter.YardId!))!;
        await new AlertTeller(session, yard, policy).TellAsync(await AlertStore.ByIdAsync(session, [.. decisions.Select(row => row.AlertId)]), TellOccasion.AtOnce);
    }

    private static string WhyLeftOut(AlertDecisionRow row, AlertRow alert, IEnumerable<AlertDecisionRow> own)
    {
        var isEnd = row.News == Words.Write(AlertNews.Settled);
        if (!isEnd && alert.State == Words.Write(AlertState.Settled))
            return "settled before the letter went";
        if (own.Any(other => other.ChangeNo > row.ChangeNo && HasGone(other)))
            return "a later letter went first";
        var before = own.Where(other => other.ChangeNo < row.ChangeNo && Words.Read<Verdict>(other.Verdict) is Verdict.Told or Verdict.NotSent).ToList();
        return isEnd && before.Count > 0 && !before.Any(HasGone) ? "no letter told them of it before" : "";
    }

    // A letter that is forgotten was sent long ago.
    private static bool HasGone(AlertDecisionRow row) => row.Verdict == Words.Write(Verdict.Told) && row.MessageState is null or "sent";
}
