using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Boards;

namespace BackTracker.Service.Features.Visits;

/// <summary>What a fitter needs for one visit to a yard.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="On">Day of the visit, in the yard's time.</param>
/// <param name="AsOf">The day known: nothing later was looked at.</param>
/// <param name="Fitter">Who comes; null for whoever does.</param>
/// <param name="Bring">Everything to bring, and for which horses.</param>
/// <param name="Horses">The horses: booked first, then the most urgent.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record VisitSheet(
    NamedAnswer Yard, DateOnly On, DateOnly AsOf, NamedAnswer? Fitter, IReadOnlyList<VisitBring> Bring, IReadOnlyList<VisitHorse> Horses,
    IReadOnlyList<string> Cautions);

/// <summary>Something to bring, over all horses.</summary>
/// <param name="What">What.</param>
/// <param name="Horses">For which horses.</param>
public sealed record VisitBring(string What, IReadOnlyList<string> Horses);

/// <summary>A horse to be looked at.</summary>
/// <param name="Horse">The horse.</param>
/// <param name="VetFirst">Open signs that a vet must see before anything else, in words.</param>
/// <param name="Observations">What was seen and is still open, in words.</param>
/// <param name="LastMeasuredOn">Day of the last measurement that counts; null where there is none.</param>
/// <param name="Saddles">Its saddles to be looked at.</param>
public sealed record VisitHorse(
    NamedAnswer Horse, IReadOnlyList<string> VetFirst, IReadOnlyList<string> Observations, DateOnly? LastMeasuredOn, IReadOnlyList<VisitSaddle> Saddles);

/// <summary>A saddle to be looked at on its horse.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="Saddle">The saddle.</param>
/// <param name="SaddleText">Its tree and filling in words.</param>
/// <param name="TreeFrontFromT8Mm">Front edge of the tree behind T8, mm, negative in front of it; null where nobody measured it.</param>
/// <param name="FrontText">The same in words.</param>
/// <param name="Checks">What is to be done.</param>
/// <param name="Since">Day a fitter last looked at it on this horse, or the first day it was used.</param>
/// <param name="SinceText">The same in words.</param>
/// <param name="Moved">What moved on the back since then; empty where nothing was measured again.</param>
/// <param name="Findings">What is out or to be watched on the day of the visit.</param>
/// <param name="Bring">What to bring for it.</param>
/// <param name="Missing">Which measurements would bring what is unknown.</param>
public sealed record VisitSaddle(
    string PairingId, LabelledAnswer Saddle, string SaddleText, double? TreeFrontFromT8Mm, string FrontText, IReadOnlyList<VisitCheck> Checks,
    DateOnly Since, string SinceText, IReadOnlyList<VisitMove> Moved, IReadOnlyList<VisitFinding> Findings, IReadOnlyList<VisitNeed> Bring,
    IReadOnlyList<string> Missing);

/// <summary>A check to be done on the visit.</summary>
/// <param name="Id">Id.</param>
/// <param name="Kind">What is to be done.</param>
/// <param name="State">open or booked.</param>
/// <param name="Urgency">How soon.</param>
/// <param name="DueOn">The day it is due.</param>
/// <param name="BookedOn">Day of the visit it is booked for; null while it is open.</param>
/// <param name="Text">What and when in words.</param>
/// <param name="Why">Why, in words.</param>
public sealed record VisitCheck(
    string Id, CheckKind Kind, CheckState State, Urgency Urgency, DateOnly DueOn, DateOnly? BookedOn, string Text, IReadOnlyList<string> Why);

/// <summary>How far one measure of the back moved.</summary>
/// <param name="Metric">Which, for example T13.width150.</param>
/// <param name="Station">Where along the back; null for the topline.</param>
/// <param name="Side">On which side; null where it is of both together.</param>
/// <param name="From">From which day on it is told: the day of the last look, or the first measurement after it.</param>
/// <param name="Change">Expected change up to the visit.</param>
/// <param name="PlusMinus">Half width of its 95 % interval.</param>
/// <param name="Unit">mm or deg.</param>
/// <param name="LeastRealChange">Least change between two sessions that is more than noise.</param>
/// <param name="MoreThanNoise">Whether it is more than noise: no less than that, and beyond its own interval.</param>
/// <param name="Text">In words.</param>
public sealed record VisitMove(
    string Metric, string? Station, Side? Side, DateOnly From, double Change, double PlusMinus, string Unit, double LeastRealChange,
    bool MoreThanNoise, string Text);

/// <summary>A finding that is out or to be watched.</summary>
/// <param name="Key">Which finding.</param>
/// <param name="Severity">How it stands.</param>
/// <param name="Statement">What was found and its limit, in words.</param>
/// <param name="Text">The same with how it stands and how likely it is out.</param>
public sealed record VisitFinding(string Key, Severity Severity, string Statement, string Text);

/// <summary>Something to bring for a saddle.</summary>
/// <param name="What">What.</param>
/// <param name="Because">Why.</param>
public sealed record VisitNeed(string What, IReadOnlyList<string> Because);
