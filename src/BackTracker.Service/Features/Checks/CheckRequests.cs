using System.ComponentModel.DataAnnotations;
using System.Text.Json;
using System.Text.Json.Serialization;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Checks;

/// <summary>Books a check.</summary>
public sealed record BookRequest
{
    /// <summary>Day of the visit.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>Who comes; left out where the key belongs to the fitter, or for a re-measure by the yard.</summary>
    public string? FitterId { get; init; }

    /// <summary>The visit it becomes part of.</summary>
    public string? VisitId { get; init; }
}

/// <summary>Says why.</summary>
public sealed record ReasonRequest
{
    /// <summary>Why, in words.</summary>
    [Required, StringLength(1000, MinimumLength = 1)]
    public string? Reason { get; init; }
}

/// <summary>Puts a check off.</summary>
public sealed record PostponeRequest
{
    /// <summary>The new day.</summary>
    [Required]
    public DateOnly? Until { get; init; }

    /// <summary>Why, in words.</summary>
    [Required, StringLength(1000, MinimumLength = 1)]
    public string? Reason { get; init; }

    /// <summary>True accepts, in so many words, a day after the window closes.</summary>
    public bool? AcceptRisk { get; init; }
}

/// <summary>Reports a check as done.</summary>
public sealed record CompleteRequest : ICheckedRequest
{
    /// <summary>Day it was done.</summary>
    [Required]
    public DateOnly? On { get; init; }

    /// <summary>Who did it; left out where the key belongs to them.</summary>
    public string? By { get; init; }

    /// <summary>What was found: texts, or objects with text, station, side, value and unit.</summary>
    [MaxLength(100), JsonConverter(typeof(FindingNotesConverter))]
    public IReadOnlyList<FindingNote>? Findings { get; init; }

    /// <summary>What was changed on the saddle.</summary>
    [MaxLength(20)]
    public IReadOnlyList<DoneAdjustment>? Adjustments { get; init; }

    public void Check(Faults faults)
    {
        for (var i = 0; i < Findings?.Count; i++)
        {
            if (string.IsNullOrWhiteSpace(Findings[i].Text))
                faults.Add($"/findings/{i}/text", "Say what was found.");
            if (Findings[i].Station is { } station && !Engine.Measures.Station.TryParse(station, out _))
                faults.Add($"/findings/{i}/station", "A station is T5 to T18.");
        }
    }
}

/// <summary>A change made on the saddle during a check.</summary>
public sealed record DoneAdjustment : ICheckedRequest
{
    /// <summary>What was changed.</summary>
    [Required]
    public AdjustmentKind? Kind { get; init; }

    /// <summary>Where and by how much.</summary>
    [MaxLength(6)]
    public IReadOnlyList<Saddles.ZoneRequest>? Zones { get; init; }

    /// <summary>Anything else.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }

    /// <summary>The change as the saddle keeps it.</summary>
    internal Saddles.AdjustmentRequest ToAdjustment(DateOnly on, string by) => new() { DoneOn = on, DoneBy = by, Kind = Kind, Zones = Zones ?? [], Note = Note };

    public void Check(Faults faults) => ToAdjustment(default, "").Check(faults);
}

/// <summary>Takes a finding as plain text too: most are one sentence.</summary>
internal sealed class FindingNotesConverter : JsonConverter<IReadOnlyList<FindingNote>>
{
    public override IReadOnlyList<FindingNote> Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType == JsonTokenType.String)
            return [Text(ref reader, options)];
        if (reader.TokenType != JsonTokenType.StartArray)
            throw new JsonException(null, new FormatException("Write findings as a list of texts or objects with a text."));
        var notes = new List<FindingNote>();
        while (reader.Read() && reader.TokenType != JsonTokenType.EndArray)
            notes.Add(reader.TokenType == JsonTokenType.String ? Text(ref reader, options) : JsonSerializer.Deserialize<FindingNote>(ref reader, options)!);
        return notes;
    }

    public override void Write(Utf8JsonWriter writer, IReadOnlyList<FindingNote> value, JsonSerializerOptions options) =>
        JsonSerializer.Serialize(writer, value.ToArray(), options);

    private static FindingNote Text(ref Utf8JsonReader reader, JsonSerializerOptions options) =>
        new(JsonSerializer.Deserialize<string>(ref reader, options)!, null, null, null, null);
}
