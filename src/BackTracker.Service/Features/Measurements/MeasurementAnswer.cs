using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Measurements;

namespace BackTracker.Service.Features.Measurements;

/// <summary>What follows from a measuring session that was recorded.</summary>
/// <param name="Id">Id of the measurement.</param>
/// <param name="Derived">Values computed from what was measured.</param>
/// <param name="Advice">What to know while it can still be taken again; empty where all is well.</param>
public sealed record MeasurementReceipt(string Id, IReadOnlyList<DerivedValue> Derived, IReadOnlyList<Advice> Advice)
{
    public static MeasurementReceipt Of(MeasurementRow row) =>
        new(row.Id, DerivedValues.Of(Json.Read<MeasuredValues>(row.Body)), Json.Read<Advice[]>(row.Advice));
}

/// <summary>A measuring session as recorded, with what follows from it.</summary>
public sealed record MeasurementAnswer : MeasuredValues
{
    // Mostly so; not worth reading.
    private const string NoAdvice = "[]";

    private MeasurementAnswer(MeasuredValues measured) : base(measured)
    {
    }

    /// <summary>Id.</summary>
    public required string Id { get; init; }

    /// <summary>The horse.</summary>
    public required string HorseId { get; init; }

    /// <summary>When it was measured, UTC.</summary>
    public required string MeasuredAt { get; init; }

    /// <summary>The day of that instant in the time zone of the yard.</summary>
    public required DateOnly MeasuredOn { get; init; }

    /// <summary>Who measured.</summary>
    public required string? MeasuredBy { get; init; }

    /// <summary>With what.</summary>
    public required MeasuringMethod Method { get; init; }

    /// <summary>Before or after work.</summary>
    public required ExerciseState Exercise { get; init; }

    /// <summary>The measurement this one corrects.</summary>
    public required string? Corrects { get; init; }

    /// <summary>The measurement that corrects this one, which does not count any more.</summary>
    public required string? ReplacedBy { get; init; }

    /// <summary>When it was voided; it does not count any more.</summary>
    public required string? VoidedAt { get; init; }

    /// <summary>Why it was voided.</summary>
    public required string? VoidReason { get; init; }

    /// <summary>When it was recorded.</summary>
    public required string RecordedAt { get; init; }

    /// <summary>Values computed from what was measured.</summary>
    public required IReadOnlyList<DerivedValue> Derived { get; init; }

    /// <summary>What was advised when it was recorded.</summary>
    public required IReadOnlyList<Advice> Advice { get; init; }

    public static MeasurementAnswer Of(MeasurementRow row)
    {
        var measured = Json.Read<MeasuredValues>(row.Body);
        return new MeasurementAnswer(measured)
        {
            Id = row.Id,
            HorseId = row.HorseId,
            MeasuredAt = row.MeasuredAt,
            MeasuredOn = Instants.ReadDay(row.MeasuredOn),
            MeasuredBy = row.MeasuredBy,
            Method = Words.Read<MeasuringMethod>(row.Method),
            Exercise = Words.Read<ExerciseState>(row.Exercise),
            Corrects = row.Corrects,
            ReplacedBy = row.ReplacedBy,
            VoidedAt = row.VoidedAt,
            VoidReason = row.VoidReason,
            RecordedAt = row.CreatedAt,
            Derived = DerivedValues.Of(measured),
            Advice = row.Advice == NoAdvice ? [] : Json.Read<Advice[]>(row.Advice),
        };
    }
}
