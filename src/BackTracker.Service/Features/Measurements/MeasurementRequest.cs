using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Measurements;

/// <summary>A measuring session to record: at least one thing has to be measured.</summary>
public record MeasurementRequest : MeasuredValues, ICheckedRequest
{
    private static readonly DateTimeOffset Earliest = new(1960, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>When it was measured, with the offset of the place.</summary>
    [Required]
    public DateTimeOffset? MeasuredAt { get; init; }

    /// <summary>Id of the person who measured; left out where the key belongs to a person.</summary>
    public string? MeasuredBy { get; init; }

    /// <summary>With what.</summary>
    [Required]
    public MeasuringMethod? Method { get; init; }

    /// <summary>Before or after work: unknown unless said. After work is shown and never trended.</summary>
    public ExerciseState? Exercise { get; init; }

    /// <summary>Id of the measurement that this one corrects and replaces.</summary>
    public string? Corrects { get; init; }

    public virtual void Check(Faults faults)
    {
        if (MeasuredAt < Earliest)
            faults.Add("/measuredAt", "Nothing was measured before 1960. Look at the year.");
        MeasurementRules.Check(faults, this);
    }
}

/// <summary>A measuring session recorded under an id the client made, for example on a phone without signal.</summary>
public sealed record ClientMeasurementRequest : MeasurementRequest
{
    /// <summary>The horse.</summary>
    [Required]
    public string? HorseId { get; init; }
}
