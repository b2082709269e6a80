using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using BackTracker.Service.Http;

namespace BackTracker.Service.Pages;

/// <summary>
/// From a form to the request that programs send: the name of a field is the JSON pointer of the member it fills, so that both are checked
/// by the same rules and a fault is shown beside its field. A field whose name begins with = goes along with others: it counts only where
/// another field of the same entry of a list was filled.
/// </summary>
internal sealed class FormJson
{
    private const char GoesAlong = '=';
    private const int Deepest = 8;
    private static readonly JsonSerializerOptions Lenient = MakeLenient();
    private readonly JsonObject _body = [];
    private readonly Dictionary<string, string> _places = [];
    private readonly Dictionary<string, string[]> _unread = [];
    private readonly HashSet<string> _fields;

    /// <summary>Builds the request body from what was filled in.</summary>
    /// <param name="fields">The form.</param>
    /// <param name="structured">
    /// Makes a member that is no plain value from its text: traces; null for plain ones. What it cannot read is a problem at that field.
    /// </param>
    public FormJson(IFormCollection fields, Func<string, string, JsonNode?>? structured = null)
    {
        _fields = [.. fields.Keys];
        var filled = fields.Where(field => field.Key.TrimStart(GoesAlong).StartsWith('/') && !string.IsNullOrWhiteSpace(field.Value)).ToList();
        var entries = filled.Where(field => field.Key[0] != GoesAlong).Select(field => EntryOf(field.Key)).OfType<string>().ToHashSet();
        foreach (var (name, values) in filled)
        {
            var pointer = name.TrimStart(GoesAlong);
            if (name[0] != GoesAlong || EntryOf(pointer) is not { } entry || entries.Contains(entry))
                Put(pointer, Structured(structured, pointer, values.ToString()) ?? values.ToString().Trim());
        }
    }

    /// <summary>The request.</summary>
    /// <exception cref="ProblemException">A field could not be read; the pointer names it.</exception>
    public T Read<T>()
    {
        if (_unread.Count > 0)
            throw ProblemException.Impossible(_unread);
        try
        {
            return _body.Deserialize<T>(Lenient)!;
        }
        catch (JsonException error)
        {
            throw error.InnerException is FormatException hint ? ProblemException.Impossible(PointerOf(error.Path), hint.Message) : Foreign();
        }
    }

    /// <summary>Faults by the name of the field they belong to; by the empty name where they belong to the form as a whole.</summary>
    public IReadOnlyDictionary<string, string> FaultsByField(ProblemException problem) => problem.Errors
        .GroupBy(fault => _unread.ContainsKey(fault.Key) ? fault.Key : FieldOf(fault.Key), fault => fault.Value)
        .ToDictionary(field => field.Key, field => string.Join(" ", field.SelectMany(texts => texts).Select(FormWords.Of).Distinct()));

    // A fault within what one field holds, such as a point of a trace, is that field's.
    private string FieldOf(string pointer)
    {
        var field = AsNamed(pointer);
        for (var within = field; within.Length > 0; within = within[..within.LastIndexOf('/')])
            if (_fields.Contains(within))
                return within;
        return field == "/" ? "" : field;
    }

    // Entries of lists that were left empty are left out, which moves those after them up.
    private string AsNamed(string pointer)
    {
        // The innermost entry knows best where it was.
        foreach (var (written, field) in _places.OrderByDescending(place => place.Key.Length))
        {
            if (pointer == written || pointer.StartsWith(written + "/", StringComparison.Ordinal))
                return field + pointer[written.Length..];
        }
        return pointer;
    }

    private JsonNode? Structured(Func<string, string, JsonNode?>? structured, string field, string text)
    {
        try
        {
            return structured?.Invoke(field, text);
        }
        catch (ProblemException problem)
        {
            _unread[field] = [problem.Message];
            return null;
        }
    }

    private static JsonSerializerOptions MakeLenient()
    {
        var options = new JsonSerializerOptions(Json.Options);
        options.Converters.Insert(0, new TypedNumber());
        options.Converters.Insert(0, new TypedWhole());
        options.Converters.Insert(0, new TypedAnswer());
        return options;
    }

    private void Put(string pointer, JsonNode value)
    {
        var parts = pointer.Split('/')[1..];
        if (parts.Length > Deepest || parts.Contains(""))
            throw Foreign();
        JsonNode place = _body;
        for (var i = 0; i < parts.Length - 1; i++)
            place = Child(place, parts, i);
        if (place is JsonArray list)
        {
            _places[$"/{string.Join('/', parts[..^1])}/{list.Count}"] = pointer;
            list.Add(value);
        }
        else if (place is not JsonObject members || !members.TryAdd(parts[^1], value))
            throw Foreign();
    }

    private JsonNode Child(JsonNode place, string[] parts, int depth)
    {
        if (place is JsonArray list)
            return Entry(list, parts, depth);
        if (place is not JsonObject members)
            throw Foreign();
        JsonNode Made() => int.TryParse(parts[depth + 1], out _) ? new JsonArray() : new JsonObject();
        return members[parts[depth]] ??= Made();
    }

    private static ProblemException Foreign() =>
        new(ProblemKind.Malformed, "The form could not be read: it holds a field that does not belong on it. Open the page again and send it from there.");

    private JsonNode Entry(JsonArray list, string[] parts, int depth)
    {
        var field = $"/{string.Join('/', parts[..(depth + 1)])}";
        if (_places.FirstOrDefault(p => p.Value == field).Key is { } known)
            return list[int.Parse(known.Split('/')[^1], CultureInfo.InvariantCulture)]!;
        var above = $"/{string.Join('/', parts[..depth])}";
        _places[$"{above}/{list.Count}"] = field;
        JsonNode entry = int.TryParse(parts[depth + 1], out _) ? new JsonArray() : new JsonObject();
        list.Add(entry);
        return entry;
    }

    /// <summary>The entry of a list that a pointer lies in; null where it lies in none.</summary>
    private static string? EntryOf(string pointer)
    {
        var parts = pointer.TrimStart(GoesAlong).Split('/');
        var last = Array.FindLastIndex(parts, part => int.TryParse(part, out _));
        return last < 0 || last == parts.Length - 1 ? null : string.Join('/', parts[..(last + 1)]);
    }

    // "$.widths[0].widthMm" -> "/widths/0/widthMm".
    private static string PointerOf(string? path) =>
        (path ?? "$").Replace("[", ".", StringComparison.Ordinal).Replace("]", "", StringComparison.Ordinal).Replace('.', '/')[1..];
}
