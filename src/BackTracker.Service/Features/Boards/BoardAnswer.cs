using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;

namespace BackTracker.Service.Features.Boards;

/// <summary>Something with a name.</summary>
/// <param name="Id">Id.</param>
/// <param name="Name">What people call it.</param>
public sealed record NamedAnswer(string Id, string Name);

/// <summary>A saddle.</summary>
/// <param name="Id">Id.</param>
/// <param name="Label">What the yard calls it.</param>
public sealed record LabelledAnswer(string Id, string Label);

/// <summary>The finding to look at first.</summary>
/// <param name="Measure">What was compared.</param>
/// <param name="Station">Where along the back.</param>
/// <param name="Severity">How it stands.</param>
/// <param name="Text">In words.</param>
public sealed record WorstFindingAnswer(string Measure, string? Station, Severity Severity, string Text);

/// <summary>A pairing on the board.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="Saddle">The saddle.</param>
/// <param name="Advice">Whether it may be used.</param>
/// <param name="AdviceText">The advice in words.</param>
/// <param name="WorstFinding">The finding to look at first; null where nothing can be compared.</param>
/// <param name="LeavesToleranceOn">When it is expected to leave tolerance.</param>
/// <param name="Missing">Which measurements would bring what is unknown.</param>
public sealed record BoardPairingAnswer(
    string PairingId, LabelledAnswer Saddle, RideAdvice Advice, string AdviceText, WorstFindingAnswer? WorstFinding,
    LeavesTolerance LeavesToleranceOn, IReadOnlyList<string> Missing);

/// <summary>The next thing to be done for a horse.</summary>
/// <param name="CheckId">The check; null while it is only coming up.</param>
/// <param name="Kind">What is to be done.</param>
/// <param name="State">open or booked; null while it is only coming up.</param>
/// <param name="PairingId">The pairing; null for the horse.</param>
/// <param name="BookBy">Last day to book.</param>
/// <param name="DueOn">The day it is due.</param>
/// <param name="BookedOn">Day of the visit.</param>
/// <param name="Urgency">How soon.</param>
/// <param name="Reasons">Why.</param>
public sealed record NextCheckAnswer(
    string? CheckId, CheckKind Kind, CheckState? State, string? PairingId, DateOnly BookBy, DateOnly DueOn, DateOnly? BookedOn,
    Urgency Urgency, IReadOnlyList<ReasonAnswer> Reasons);

/// <summary>How the width that matters most is moving.</summary>
/// <param name="Metric">Which.</param>
/// <param name="Direction">Which way.</param>
/// <param name="PerFourWeeks">Expected change in four weeks, mm.</param>
/// <param name="Probability">Probability that it moves that way.</param>
/// <param name="Text">In words.</param>
public sealed record BoardTrendAnswer(string Metric, Direction Direction, double PerFourWeeks, double Probability, string Text);

/// <summary>An open observation.</summary>
/// <param name="Id">Id.</param>
/// <param name="Kind">What was seen.</param>
/// <param name="ObservedOn">When.</param>
/// <param name="Station">Where along the back.</param>
/// <param name="Side">On which side.</param>
/// <param name="Note">In the words of who saw it.</param>
/// <param name="VetFirst">Whether a vet must look before anything else.</param>
public sealed record BoardObservationAnswer(string Id, ObservationKind Kind, DateOnly ObservedOn, string? Station, string? Side, string? Note, bool VetFirst);

/// <summary>A horse on the board.</summary>
/// <param name="Horse">The horse.</param>
/// <param name="Text">Who, what, when and why in one line.</param>
/// <param name="Pairings">Its saddles.</param>
/// <param name="NextCheck">The next thing to be done; null where nothing is in sight.</param>
/// <param name="Checks">Everything open, booked or coming up, by due day.</param>
/// <param name="LastMeasuredOn">Day of the last measurement.</param>
/// <param name="Trend">How the width that matters most is moving; null before the first measurement.</param>
/// <param name="OpenObservations">What was seen and not closed.</param>
/// <param name="AssessedOn">The day the assessment shown is about; null until the horse has been assessed.</param>
/// <param name="Assessment">Address of that assessment.</param>
public sealed record BoardHorseAnswer(
    NamedAnswer Horse, string Text, IReadOnlyList<BoardPairingAnswer> Pairings, NextCheckAnswer? NextCheck, IReadOnlyList<NextCheckAnswer> Checks,
    DateOnly? LastMeasuredOn, BoardTrendAnswer? Trend, IReadOnlyList<BoardObservationAnswer> OpenObservations, DateOnly? AssessedOn, string? Assessment);

/// <summary>An open alert.</summary>
/// <param name="Id">Id.</param>
/// <param name="Horse">The horse.</param>
/// <param name="Text">The problem in words.</param>
/// <param name="Urgency">How soon.</param>
/// <param name="RaisedOn">Since when.</param>
/// <param name="Acknowledged">Whether somebody has said that they have seen it.</param>
/// <param name="Etag">What to send as If-Match to acknowledge it.</param>
public sealed record BoardAlertAnswer(string Id, NamedAnswer Horse, string Text, Urgency Urgency, DateOnly RaisedOn, bool Acknowledged, string Etag)
{
    public static BoardAlertAnswer Of(AlertRow row) => new(
        row.Id, new(row.HorseId, row.HorseName), row.Text, Words.Read<Urgency>(row.Urgency), Instants.ReadDay(row.RaisedOn),
        row.AcknowledgedAt is not null, Conditional.Etag(row.Version));
}

/// <summary>Who in a yard needs what, when and why.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Today">Today in the yard.</param>
/// <param name="Horses">Its horses, the most pressing first.</param>
/// <param name="Alerts">Open alerts, the most urgent first.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record BoardAnswer(NamedAnswer Yard, DateOnly Today, IReadOnlyList<BoardHorseAnswer> Horses, IReadOnlyList<BoardAlertAnswer> Alerts, IReadOnlyList<string> Cautions);
