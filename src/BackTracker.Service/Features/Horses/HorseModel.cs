using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Pages;
using BackTracker.Storage.Commissions;

namespace BackTracker.Service.Features.Horses;

/// <summary>What the page of a horse shows.</summary>
public sealed record HorseModel
{
    /// <summary>The yard it stands in, or last stood in.</summary>
    public required Named Yard { get; init; }

    /// <summary>Today in that yard.</summary>
    public required DateOnly Today { get; init; }

    /// <summary>The horse.</summary>
    public required HorseAnswer Horse { get; init; }

    /// <summary>Its line of the board.</summary>
    public required BoardHorseAnswer Line { get; init; }

    /// <summary>Saddles that are or were made for it.</summary>
    public required IReadOnlyList<CommissionRow> Commissions { get; init; }

    /// <summary>Its saddles, those in use first.</summary>
    public required IReadOnlyList<HorseSaddle> Saddles { get; init; }

    /// <summary>How its back moves; null before the first measurement that counts.</summary>
    public required HorseTrend? Trend { get; init; }

    /// <summary>The back at the same station under the saddle in use; null where the two cannot be drawn.</summary>
    public required HorseSection? Section { get; init; }

    /// <summary>What was seen on it, open ones first, then the latest.</summary>
    public required IReadOnlyList<ObservationAnswer> Observations { get; init; }

    /// <summary>The newest of its history.</summary>
    public required HistoryModel History { get; init; }

    /// <summary>How many days ahead the fit is looked at.</summary>
    public required int HorizonDays { get; init; }

    /// <summary>Whether whoever looks may measure, record what is seen and what came of it.</summary>
    public required bool MayRecord { get; init; }

    /// <summary>Whether whoever looks may add events and begin phases.</summary>
    public required bool MayManage { get; init; }

    /// <summary>What to keep in mind.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}

/// <summary>A saddle of a horse.</summary>
/// <param name="Pairing">The pairing.</param>
/// <param name="State">How it stood when it was last assessed; null where it was not, or is not in use.</param>
public sealed record HorseSaddle(PairingFact Pairing, BoardPairingAnswer? State)
{
    /// <summary>Whether it is in use on a day.</summary>
    public bool IsUsedOn(DateOnly day) => Pairing.From <= day && !(Pairing.To < day);
}

/// <summary>How one metric moves, drawn, in words and in numbers.</summary>
/// <param name="Metric">Which.</param>
/// <param name="Choices">Everything that was measured.</param>
/// <param name="Words">The picture in words; what to do where nothing was measured.</param>
/// <param name="Numbers">Its numbers; null where nothing was measured.</param>
/// <param name="Pictures">The picture for a phone, then for a desk; none where nothing was measured.</param>
/// <param name="Muscle">What the back does beside weight, at the station shown.</param>
public sealed record HorseTrend(
    Metric Metric, IReadOnlyList<Metric> Choices, string Words, TrendAnswer? Numbers, IReadOnlyList<string> Pictures, IReadOnlyList<MuscleChangeAnswer> Muscle);

/// <summary>One station of the back under a saddle, drawn; each picture says its numbers in words to who cannot see it.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="SaddleLabel">The saddle.</param>
/// <param name="Station">Where along the back.</param>
/// <param name="Pictures">The picture for a phone, then for a desk.</param>
/// <param name="Cautions">What to keep in mind of it.</param>
public sealed record HorseSection(string PairingId, string SaddleLabel, string Station, IReadOnlyList<string> Pictures, IReadOnlyList<string> Cautions);

/// <summary>A stretch of a history.</summary>
/// <param name="Horse">The horse.</param>
/// <param name="Yard">Its yard.</param>
/// <param name="Lines">Newest first.</param>
/// <param name="Older">Address of what came before; null where this is all.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record HistoryModel(Named Horse, Named Yard, IReadOnlyList<HistoryLine> Lines, string? Older, IReadOnlyList<string> Cautions)
{
    /// <summary>Whether whoever looks may take events and phases back.</summary>
    public required bool MayManage { get; init; }
}

/// <summary>A form about a horse.</summary>
/// <param name="Yard">Its yard.</param>
/// <param name="Horse">The horse.</param>
/// <param name="Form">What was filled in.</param>
/// <param name="Policy">What scheduling goes by.</param>
public sealed record HorseFormModel(Named Yard, Named Horse, FormState Form, CheckPolicy Policy);
