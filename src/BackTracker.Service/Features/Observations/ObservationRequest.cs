using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Observations;

namespace BackTracker.Service.Features.Observations;

/// <summary>How bad something seen was; left out where nobody said.</summary>
public enum StatedSeverity
{
    Mild,
    Moderate,
    Severe,
}

/// <summary>What a vet, fitter or yard manager made of an observation.</summary>
public enum OutcomeWord
{
    Cleared,
    Treated,
    Referred,
}

/// <summary>Something seen on the horse or under saddle.</summary>
public sealed record ObservationRequest : ICheckedRequest
{
    private const int HighestScore = 24;

    /// <summary>Day it was seen.</summary>
    [Required]
    public DateOnly? ObservedOn { get; init; }

    /// <summary>What was seen.</summary>
    [Required]
    public ObservationKind? Kind { get; init; }

    /// <summary>Side of the horse.</summary>
    public Side? Side { get; init; }

    /// <summary>Where along the back: T5 to T18.</summary>
    public string? Station { get; init; }

    /// <summary>How bad it is. Soreness of which nobody says that it is mild is for a vet.</summary>
    public StatedSeverity? Severity { get; init; }

    /// <summary>Score of 0 to 24 of the published ridden-behaviour list; only with that kind.</summary>
    public int? Score { get; init; }

    /// <summary>Anything else worth saying; needed for the kind other.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }

    public void Check(Faults faults)
    {
        if (Station is not null && !Engine.Measures.Station.TryParse(Station, out _))
            faults.Add("/station", "A station is a thoracic vertebra from T5 to T18, written T13.");
        if (Kind == ObservationKind.RiddenBehaviourScore && Score is not (>= 0 and <= HighestScore))
            faults.Add("/score", $"A ridden-behaviour score needs its score, 0 to {HighestScore}.");
        if (Kind != ObservationKind.RiddenBehaviourScore && Score is not null)
            faults.Add("/score", "Only a ridden-behaviour score has a score. Leave it out, or say how bad it is.");
        if (Kind == ObservationKind.Other && string.IsNullOrEmpty(Note))
            faults.Add("/note", "Say in a note what was seen: something else says nothing by itself.");
    }

    public ObservationRow ToRow(string id, string horseId, string createdAt) => new()
    {
        Id = id,
        HorseId = horseId,
        ObservedOn = Instants.WriteDay(ObservedOn!.Value),
        Kind = Words.Write(Kind!.Value),
        Side = Side is { } side ? Words.Write(side) : null,
        Station = Station,
        Severity = Severity is { } severity ? Words.Write(severity) : null,
        Score = Score,
        Note = Note,
        Version = 1,
        CreatedAt = createdAt,
    };
}

/// <summary>What ends an observation.</summary>
public sealed record OutcomeRequest
{
    /// <summary>Day of the outcome.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>Id of the person who gives it; left out where the key belongs to a person.</summary>
    public string? By { get; init; }

    /// <summary>As what that person gives it. A vet-first sign is ended by a vet alone.</summary>
    [Required]
    public OutcomeRole? Role { get; init; }

    /// <summary>What came of it.</summary>
    [Required]
    public OutcomeWord? Outcome { get; init; }

    /// <summary>What was found.</summary>
    [Required, StringLength(2000, MinimumLength = 1)]
    public string? Note { get; init; }
}
