using System.Collections.Concurrent;
using System.Text.Json;
using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Rides;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage.Exports;

namespace BackTracker.Service.Features.Imports;

/// <summary>Holds a record to the rules of the route by which it would be posted: its scope, and what can be.</summary>
internal static class RecordRules
{
    private static readonly ConcurrentDictionary<Type, HashSet<string>> Names = new();
    private static readonly Dictionary<string, Type> Requests = new()
    {
        ["yard"] = typeof(YardRequest),
        ["person"] = typeof(PersonRequest),
        ["horse"] = typeof(HorseRequest),
        ["phase"] = typeof(PhaseRequest),
        ["event"] = typeof(EventRequest),
        [RecordKinds.Measurement] = typeof(MeasurementRequest),
        ["observation"] = typeof(ObservationRequest),
        ["saddle"] = typeof(SaddleRequest),
        ["tree-shape"] = typeof(TreeShapeRequest),
        ["pairing"] = typeof(PairingRequest),
        ["ride"] = typeof(RideRequest),
        ["adjustment"] = typeof(AdjustmentRequest),
        ["quiet-period"] = typeof(QuietPeriodRequest),
    };

    /// <summary>What a key needs for a kind: what the kind's own route needs; what no route takes, because the service makes it itself, an administrator.</summary>
    public static Scope Needs(RecordKind kind) => kind.Name switch
    {
        RecordKinds.Measurement or "observation" or "ride" => Scope.Record,
        "tree-shape" or "adjustment" => Scope.Fit,
        "person" or "person-yard" or "horse" or "move" or "phase" or "event" or "saddle" or "pairing" or "yard-policy" or "pairing-policy" or "quiet-period" => Scope.Manage,
        _ => Scope.Admin,
    };

    /// <summary>Whether a kind has a member; where what was measured stands among the others, so does all that its route takes.</summary>
    public static bool Takes(RecordKind kind, string member) =>
        kind.Members.Any(m => m.Type != MemberType.Inline && m.Name == member) || IsOpen(kind) && Taken(Requests[kind.Name]).Contains(member);

    /// <summary>Names what cannot be, in the words of the route.</summary>
    public static void Check(RecordLine line, JsonElement record, ImportFaults faults)
    {
        if (!Requests.TryGetValue(line.Kind.Name, out var type))
            return;
        try
        {
            Http.Requests.Validate(Read(line.Kind, record, type));
        }
        catch (ProblemException problem) when (problem.Errors.Count == 0)
        {
            faults.Add(line.Line, "", problem.Message);
        }
        catch (ProblemException problem)
        {
            foreach (var (pointer, texts) in problem.Errors)
                foreach (var text in texts)
                    faults.Add(line.Line, pointer == "/kind" ? OwnKind(line.Kind) : pointer[1..], text);
        }
    }

    /// <summary>What a line of a measuring session asks to record.</summary>
    public static MeasurementRequest Measurement(JsonElement record) =>
        (MeasurementRequest)Read(RecordKinds.ByName[RecordKinds.Measurement], record, typeof(MeasurementRequest));

    private static object Read(RecordKind kind, JsonElement record, Type type)
    {
        try
        {
            return JsonSerializer.Deserialize(Request(kind, record, type), type, Json.Options)!;
        }
        catch (JsonException error)
        {
            throw JsonFaults.Explain(error);
        }
    }

    // The members that the route takes too.
    private static byte[] Request(RecordKind kind, JsonElement record, Type type)
    {
        if (kind.Name == "tree-shape" && record.TryGetProperty("shape", out var shape))
            return JsonSerializer.SerializeToUtf8Bytes(shape);
        var taken = Taken(type);
        using var bytes = new MemoryStream();
        using (var json = new Utf8JsonWriter(bytes))
        {
            json.WriteStartObject();
            if (kind.Name == "person")
                json.WriteRawValueOf("yardIds", "[\"-\"]"); // Given by lines of their own.
            foreach (var member in record.EnumerateObject())
                if (member.Name == OwnKind(kind))
                    json.WriteRawValueOf("kind", member.Value.GetRawText());
                else if (member.Name != "kind" && taken.Contains(member.Name))
                    json.WriteRawValueOf(member.Name, member.Value.GetRawText());
            json.WriteEndObject();
        }
        return bytes.ToArray();
    }

    private static bool IsOpen(RecordKind kind) => kind.Members.Any(m => m.Type == MemberType.Inline);

    private static HashSet<string> Taken(Type type) => Names.GetOrAdd(type, t => [.. t.GetProperties().Select(p => JsonNamingPolicy.CamelCase.ConvertName(p.Name))]);

    // On a line `kind` is that of the record: one that has a kind of its own calls it otherwise than its route does.
    private static string OwnKind(RecordKind kind) => kind.Members.FirstOrDefault(m => m.Column == "kind")?.Name ?? "";

    private static void WriteRawValueOf(this Utf8JsonWriter json, string name, string value)
    {
        json.WritePropertyName(name);
        json.WriteRawValue(value);
    }
}
