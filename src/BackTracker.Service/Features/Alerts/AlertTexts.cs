using System.Globalization;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Yards;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;

namespace BackTracker.Service.Features.Alerts;

/// <summary>The log of an alert in the words of somebody who runs a yard.</summary>
internal static class AlertTexts
{
    /// <summary>"Told Ada Finch by mail on 3 March 2026, 07:00: new, in the morning's letter.", once the letter has gone.</summary>
    public static string Decision(AlertDecisionRow row, Verdict verdict, string receiver, string timeZone) => (verdict, row.Reason) switch
    {
        (Verdict.Told, var reason) when row.MessageState is "pending" => $"The letter to {receiver} waits to be sent: {reason}.",
        (Verdict.Told, var reason) => $"Told {receiver} by mail on {Time(timeZone, Instants.Read(row.SentAt ?? row.CreatedAt))}: {reason}.",
        (Verdict.WaitsForDigest or Verdict.WaitsForMorning, var reason) => $"Not told yet, {receiver}: {reason}.",
        (_, var reason) => $"Not told, {receiver}: {reason}.",
    };

    /// <summary>How urgent an open alert is, since when, and whether somebody has seen it.</summary>
    public static string Standing(BoardAlertAnswer alert) =>
        $"{Soon(alert.Urgency)}. Since {Engine.Words.Day(alert.RaisedOn)}.{(alert.Acknowledged ? " Acknowledged." : "")}";

    /// <summary>How an alert stands, in one sentence.</summary>
    public static string Standing(AlertAnswer alert, string? by) => alert.State switch
    {
        AlertState.Settled => $"Settled: {alert.SettledWhy}",
        AlertState.Acknowledged => $"Acknowledged{(by is null ? "" : $" by {by}")}. {Soon(alert.Urgency)}.",
        _ => $"{Soon(alert.Urgency)}.{(alert.OverdueSince is { } since ? $" Overdue since {Engine.Words.Day(since)}." : "")}",
    };

    private static string Soon(Urgency urgency) => urgency switch
    {
        Urgency.Now => "Before the next ride",
        Urgency.Soon => "Book or do it now",
        _ => "In the ordinary run",
    };

    /// <summary>What happened to the alert.</summary>
    public static string Step(AlertStepRow step) => $"{Engine.Words.Sentence(step.Action)}{(step.Note.Length == 0 ? "." : $": {step.Note}")}";

    /// <summary>"3 March 2026, 07:00" on the yard's clock.</summary>
    public static string Time(string timeZone, DateTimeOffset at) => YardTime.Local(timeZone, at).ToString("d MMMM yyyy, HH:mm", CultureInfo.InvariantCulture);
}
