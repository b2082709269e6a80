using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;

namespace BackTracker.Service.Delivery;

/// <summary>One problem in a letter, in words that stay as they were when it was written.</summary>
/// <param name="AlertId">The alert.</param>
/// <param name="News">What happened to it.</param>
/// <param name="Urgency">How soon.</param>
/// <param name="Cause">Why.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="HorseName">Its name.</param>
/// <param name="PairingId">The pairing; null where it is of the horse.</param>
/// <param name="SaddleLabel">The saddle; null where it is of the horse.</param>
/// <param name="CheckId">The check that answers it; null where there is none.</param>
/// <param name="Kind">What is to be done about it.</param>
/// <param name="Text">The problem in words.</param>
/// <param name="BookBy">Last day to book; null where nobody is to be booked.</param>
/// <param name="DueOn">Day the check is due.</param>
/// <param name="BookedOn">Day somebody comes; null where nobody is booked.</param>
public sealed record LetterLine(
    string AlertId, AlertNews News, Urgency Urgency, Cause Cause, string HorseId, string HorseName, string? PairingId, string? SaddleLabel,
    string? CheckId, CheckKind Kind, string Text, DateOnly? BookBy, DateOnly? DueOn, DateOnly? BookedOn)
{
    /// <summary>The commission; null where it is not of a saddle that is being made.</summary>
    public string? CommissionId { get; init; }
}

/// <summary>What a letter to one receiver says of one yard; stored with the message, so that a second try says the same.</summary>
/// <param name="YardName">The yard.</param>
/// <param name="On">Day in the yard's time zone.</param>
/// <param name="Lines">The problems, the most urgent first; empty in a fitter's week without any.</param>
/// <param name="Visits">What is booked in the coming week; empty but in a fitter's week.</param>
public sealed record Letter(string YardName, DateOnly On, IReadOnlyList<LetterLine> Lines, IReadOnlyList<LetterVisit> Visits);

/// <summary>A booked day of a fitter.</summary>
/// <param name="On">The day.</param>
/// <param name="HorseName">The horse.</param>
/// <param name="Kind">What is to be done.</param>
/// <param name="CheckId">The check.</param>
/// <param name="Text">Why, in words.</param>
/// <param name="IsVetFirst">Whether a vet must look at the horse first.</param>
public sealed record LetterVisit(DateOnly On, string HorseName, CheckKind Kind, string CheckId, string Text, bool IsVetFirst);
