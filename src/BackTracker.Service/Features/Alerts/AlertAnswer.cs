using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;

namespace BackTracker.Service.Features.Alerts;

/// <summary>Says that a problem has been seen.</summary>
public sealed record AcknowledgeRequest
{
    /// <summary>Anything worth saying, for example what is being done about it.</summary>
    [StringLength(1000)]
    public string? Note { get; init; }
}

/// <summary>An alert: an open problem with its life. The same problem is one alert however often it is found.</summary>
/// <param name="Id">Id.</param>
/// <param name="YardId">The yard the horse stood in when it was raised.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="HorseName">What the yard calls it.</param>
/// <param name="PairingId">The pairing; null where it is of the horse.</param>
/// <param name="SaddleLabel">What the yard calls its saddle.</param>
/// <param name="CheckId">The check that answers it.</param>
/// <param name="Concern">check for a cause of a check, booking for a booked day that has become too late, commission for a saddle that is being made.</param>
/// <param name="Cause">The cause.</param>
/// <param name="Measure">Finding, kind of sign, or kind of the check that is booked too late.</param>
/// <param name="Station">Station of the finding.</param>
/// <param name="Side">Side of the finding.</param>
/// <param name="State">raised, acknowledged or settled.</param>
/// <param name="Urgency">How soon.</param>
/// <param name="Text">The problem in words.</param>
/// <param name="BookBy">Last day to book.</param>
/// <param name="DueOn">The day it is due.</param>
/// <param name="BookedOn">Day somebody comes.</param>
/// <param name="RaisedOn">The day it was raised.</param>
/// <param name="OverdueSince">First day on which it was overdue and nobody had acknowledged it.</param>
/// <param name="AcknowledgedAt">When it was acknowledged.</param>
/// <param name="AcknowledgedBy">Id of the person who did, where the key belongs to one.</param>
/// <param name="AcknowledgedNote">What they said.</param>
/// <param name="SettledAt">When it settled.</param>
/// <param name="SettledWhy">By what.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record AlertAnswer(
    string Id, string YardId, string HorseId, string HorseName, string? PairingId, string? SaddleLabel, string? CheckId, Concern Concern, Cause Cause,
    string? Measure, string? Station, Side? Side, AlertState State, Urgency Urgency, string Text, DateOnly BookBy, DateOnly DueOn, DateOnly? BookedOn,
    DateOnly RaisedOn, DateOnly? OverdueSince, string? AcknowledgedAt, string? AcknowledgedBy, string? AcknowledgedNote, string? SettledAt,
    string? SettledWhy, IReadOnlyList<string> Cautions)
{
    /// <summary>The commission; null where it is not of a saddle that is being made.</summary>
    public string? CommissionId { get; init; }

    public static AlertAnswer Of(AlertRow row)
    {
        var cause = Words.Read<Cause>(row.Cause);
        return new(
            row.Id, row.YardId, row.HorseId, row.HorseName, row.PairingId, row.SaddleLabel, row.CheckId, Words.Read<Concern>(row.Concern), cause,
            MeasureOf(row.Measure), row.Station, row.Side is null ? null : Words.Read<Side>(row.Side), Words.Read<AlertState>(row.State),
            Words.Read<Urgency>(row.Urgency), row.Text, Instants.ReadDay(row.BookBy), Instants.ReadDay(row.DueOn), Instants.ReadDayIfAny(row.BookedOn),
            Instants.ReadDay(row.RaisedOn), Instants.ReadDayIfAny(row.OverdueSince), row.AcknowledgedAt, row.AcknowledgedBy, row.AcknowledgedNote,
            row.SettledAt, row.SettledWhy, cause == Cause.VetFirst ? Engine.Checks.Cautions.VetFirst : Engine.Checks.Cautions.ForFit)
        {
            CommissionId = row.CommissionId,
        };
    }

    // Signs and kinds of checks as the words of the contract; findings have their names already.
    private static string? MeasureOf(string? measure) =>
        Enum.TryParse<ObservationKind>(measure, out var sign) ? Words.Write(sign)
        : Enum.TryParse<CheckKind>(measure, out var kind) ? Words.Write(kind)
        : measure;
}

/// <summary>Whether somebody was told of an alert, and why.</summary>
/// <param name="Id">Id.</param>
/// <param name="SubscriptionId">The subscription.</param>
/// <param name="Receiver">Who reads it: a person's name, else the mail address.</param>
/// <param name="News">What they are told happened.</param>
/// <param name="Verdict">Whether they were told, or wait for what.</param>
/// <param name="Reason">Why.</param>
/// <param name="Text">All of it in one sentence.</param>
/// <param name="MessageId">The letter in which they were told.</param>
/// <param name="DecidedAt">When it was decided.</param>
public sealed record AlertDecisionAnswer(
    string Id, string SubscriptionId, string Receiver, AlertNews News, Verdict Verdict, string Reason, string Text, string? MessageId, string DecidedAt)
{
    /// <param name="row">The decision.</param>
    /// <param name="timeZone">Time zone of the yard.</param>
    /// <param name="caller">Who asks: addresses of nobody in particular are shown to those who manage subscriptions.</param>
    internal static AlertDecisionAnswer Of(AlertDecisionRow row, string timeZone, Caller caller)
    {
        var receiver = row.PersonName ?? (caller.May(Scope.Manage) ? row.Email : null) ?? "an address of the yard";
        var verdict = Words.Read<Verdict>(row.Verdict);
        return new(
            row.Id, row.SubscriptionId, receiver, Words.Read<AlertNews>(row.News), verdict, row.Reason,
            AlertTexts.Decision(row, verdict, receiver, timeZone), row.MessageId, row.CreatedAt);
    }
}
