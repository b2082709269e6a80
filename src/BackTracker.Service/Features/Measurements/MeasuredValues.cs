using System.ComponentModel.DataAnnotations;
using System.Text.Json;
using System.Text.Json.Serialization;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Measurements;

/// <summary>How the horse held its head.</summary>
public enum HeadHeight
{
    Neutral,
    Low,
    High,
}

/// <summary>How the horse stood.</summary>
public sealed record Stance
{
    /// <summary>Whether it stood square on level ground.</summary>
    [Required]
    public bool? Square { get; init; }

    /// <summary>How it held its head: neutral unless said.</summary>
    public HeadHeight? Head { get; init; }
}

/// <summary>What was measured on a horse in one session. Lengths in mm; x is lateral (+ = the horse's right), y is depth (+ = down).</summary>
public record MeasuredValues
{
    private static readonly JsonSerializerOptions Compact = new(Json.Options) { DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull };

    /// <summary>How the horse stood.</summary>
    public Stance? Stance { get; init; }

    /// <summary>
    /// Traces across the back, each drawn two or three times: horse square, head neutral, before work. Mark the midline and a level line on the
    /// paper. Widths, shape, angles and muscle fill follow from them.
    /// </summary>
    [MaxLength(70)]
    public IReadOnlyList<TraceValues>? Traces { get; init; }

    /// <summary>Widths of the back at depths below the midline.</summary>
    [MaxLength(500)]
    public IReadOnlyList<WidthValues>? Widths { get; init; }

    /// <summary>Trace along the spine from the withers backwards: [x mm, y mm] with x + = towards the tail, 0 = T8.</summary>
    [MinLength(5, ErrorMessage = "A topline has 5 points or more."), MaxLength(2000, ErrorMessage = "A topline has at most 2000 points.")]
    public IReadOnlyList<IReadOnlyList<double>>? Topline { get; init; }

    /// <summary>Where the stations lie along the back, mm from T8 towards the tail: {"T13": 240}.</summary>
    public IReadOnlyDictionary<string, double>? StationPositionsMm { get; init; }

    /// <summary>Rear of the shoulder blade to the last rib, mm.</summary>
    public double? SupportLengthMm { get; init; }

    /// <summary>Height at the withers, mm.</summary>
    public double? WithersHeightMm { get; init; }

    /// <summary>Height at the croup, mm.</summary>
    public double? CroupHeightMm { get; init; }

    /// <summary>Heart girth, mm.</summary>
    public double? GirthMm { get; init; }

    /// <summary>Point of shoulder to point of buttock, mm.</summary>
    public double? BodyLengthMm { get; init; }

    /// <summary>Body weight, kg.</summary>
    public double? WeightKg { get; init; }

    /// <summary>Condition on the scale of 1 to 9.</summary>
    public double? ConditionScore1to9 { get; init; }

    /// <summary>Neck crest on the scale of 0 to 5.</summary>
    public double? NeckScore0to5 { get; init; }

    /// <summary>Anything else worth saying.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }

    /// <summary>The same values always give the same text: what was not said is left out, empty lists among it.</summary>
    public string ToCanonicalJson() => JsonSerializer.Serialize(
        new MeasuredValues(this)
        {
            Traces = NullIfEmpty(Traces),
            Widths = NullIfEmpty(Widths),
            StationPositionsMm = StationPositionsMm is { Count: > 0 } positions
                ? new SortedDictionary<string, double>(positions.ToDictionary(), StringComparer.Ordinal)
                : null,
        },
        Compact);

    private static IReadOnlyList<T>? NullIfEmpty<T>(IReadOnlyList<T>? list) => list is { Count: > 0 } ? list : null;
}
