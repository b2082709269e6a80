using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Http;

/// <summary>How the service reads and writes JSON: strict on the way in, plain on the way out.</summary>
internal static class Json
{
    public static JsonSerializerOptions Options { get; } = Configure(new JsonSerializerOptions(JsonSerializerDefaults.Web));

    private static readonly JsonSerializerOptions Written = OfOurOwn(new(Options));
    private static readonly JsonSerializerOptions Stored = new(Written) { UnmappedMemberHandling = JsonUnmappedMemberHandling.Skip };

    public static JsonSerializerOptions Configure(JsonSerializerOptions options)
    {
        options.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        options.PropertyNameCaseInsensitive = false;
        options.DictionaryKeyPolicy = null;
        options.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
        options.AllowDuplicateProperties = false;
        options.NumberHandling = JsonNumberHandling.Strict;
        options.DefaultIgnoreCondition = JsonIgnoreCondition.Never;
        options.MaxDepth = 32;
        options.Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping; // Always served as JSON with nosniff, never inside HTML.
        options.Converters.Add(new WordConverterFactory());
        options.Converters.Add(new InstantConverter());
        options.Converters.Add(new DayConverter());
        options.Converters.Add(new FiniteConverter());
        options.Converters.Add(new MetricConverter());
        options.Converters.Add(new TextConverter());
        return options;
    }

    /// <summary>An answer of 200.</summary>
    public static IResult Answer<T>(T value) => new JsonAnswer<T>(value);

    public static string Write<T>(T value) => JsonSerializer.Serialize(value, Options);

    /// <summary>Reads what this service wrote. Texts are taken as they are: an earlier version may have kept what is refused now.</summary>
    public static T Read<T>(string text) => JsonSerializer.Deserialize<T>(text, Written)!;

    /// <summary>Reads what an earlier version of this service may have stored: members it no longer knows are passed over.</summary>
    public static T ReadStored<T>(string text) => JsonSerializer.Deserialize<T>(text, Stored)!;

    private static JsonSerializerOptions OfOurOwn(JsonSerializerOptions options)
    {
        options.AllowDuplicateProperties = true; // What was written here has none; to look for them takes time.
        options.Converters.Remove(options.Converters.OfType<TextConverter>().Single());
        return options;
    }
}

/// <summary>Writes a body straight to the connection; the framework's own result asks for a logger first, which takes as long as a small body.</summary>
internal sealed class JsonAnswer<T>(T value) : IResult
{
    public Task ExecuteAsync(HttpContext httpContext)
    {
        httpContext.Response.ContentType = "application/json; charset=utf-8";
        return JsonSerializer.SerializeAsync(httpContext.Response.BodyWriter, value, value?.GetType() ?? typeof(T), Json.Options, httpContext.RequestAborted);
    }
}

/// <summary>Enums as the lower-case words of the contract ("letting-down"); a wrong word is answered with the right ones.</summary>
internal sealed class WordConverterFactory : JsonConverterFactory
{
    public override bool CanConvert(Type typeToConvert) => typeToConvert.IsEnum;

    public override JsonConverter CreateConverter(Type typeToConvert, JsonSerializerOptions options) =>
        (JsonConverter)Activator.CreateInstance(typeof(WordConverter<>).MakeGenericType(typeToConvert))!;

    private sealed class WordConverter<T> : JsonConverter<T> where T : struct, Enum
    {
        public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
            reader.TokenType == JsonTokenType.String && Words.TryParse<T>(reader.GetString(), out var value)
                ? value
                : throw new JsonException(null, new FormatException($"Use one of: {string.Join(", ", Words.Of<T>())}."));

        public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) => writer.WriteStringValue(Words.Write(value));
    }
}

/// <summary>An instant needs its offset: a time without one means another moment in every yard.</summary>
internal sealed class InstantConverter : JsonConverter<DateTimeOffset>
{
    public override DateTimeOffset Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType == JsonTokenType.String && reader.GetString() is { Length: >= 20 and <= 40 } text
            && (text[^1] is 'Z' or 'z' || text.Length > 6 && text[^6] is '+' or '-' && text[^3] == ':')
            && reader.TryGetDateTimeOffset(out var instant) && instant.Year is >= 1900 and <= 2200)
            return instant;
        throw new JsonException(null, new FormatException("Write an instant as 2026-03-14T09:30:00+01:00 or ...Z: date, time and offset, between the years 1900 and 2200."));
    }

    public override void Write(Utf8JsonWriter writer, DateTimeOffset value, JsonSerializerOptions options) =>
        writer.WriteStringValue(value.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture));
}

/// <summary>A day without a time.</summary>
internal sealed class DayConverter : JsonConverter<DateOnly>
{
    public override DateOnly Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String && QueryDay.TryParse(reader.GetString(), null, out var day)
            ? day.Day
            : throw new JsonException(null, new FormatException(QueryDay.Hint));

    public override void Write(Utf8JsonWriter writer, DateOnly value, JsonSerializerOptions options) =>
        writer.WriteStringValue(value.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
}

/// <summary>A metric by its name, such as T13.width150.</summary>
internal sealed class MetricConverter : JsonConverter<Metric>
{
    public override Metric Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String && Metric.TryParse(reader.GetString(), out var metric)
            ? metric
            : throw new JsonException(null, new FormatException("Write a metric as T13.width150, T8.halfLeft30, girth or weight."));

    public override void Write(Utf8JsonWriter writer, Metric value, JsonSerializerOptions options) => writer.WriteStringValue(value.ToString());
}

/// <summary>Numbers that are numbers: 1e999 is not one.</summary>
internal sealed class FiniteConverter : JsonConverter<double>
{
    public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.Number && reader.TryGetDouble(out var value) && double.IsFinite(value)
            ? value
            : throw new JsonException(null, new FormatException("Write a finite number, without quotes."));

    public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options) => writer.WriteNumberValue(value);
}

/// <summary>Text without control characters, those of the direction of writing among them; surrounding blanks are taken off.</summary>
internal sealed class TextConverter : JsonConverter<string>
{
    public override string? Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType != JsonTokenType.String)
            throw new JsonException(null, new FormatException("Write text in quotes."));
        string text;
        try
        {
            text = reader.GetString()!;
        }
        catch (InvalidOperationException)
        {
            throw new JsonException(null, new FormatException("The text is not valid Unicode."));
        }
        if (text.AsSpan().ContainsAnyInRange('\u202a', '\u202e') || text.AsSpan().ContainsAnyInRange('\u2066', '\u2069'))
            throw new JsonException(null, new FormatException("The text holds hidden characters that turn the direction of writing. Write it anew instead of pasting it."));
        return text.AsSpan().IndexOfAnyInRange('\0', '\u0008') < 0 && text.AsSpan().IndexOfAnyInRange('\u000b', '\u001f') is var at && (at < 0 || text[at] == '\r')
            ? text.Trim()
            : throw new JsonException(null, new FormatException("The text holds control characters."));
    }

    public override string ReadAsPropertyName(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.GetString()!;

    public override void WriteAsPropertyName(Utf8JsonWriter writer, string value, JsonSerializerOptions options) => writer.WritePropertyName(value);

    public override void Write(Utf8JsonWriter writer, string value, JsonSerializerOptions options) => writer.WriteStringValue(value);
}

/// <summary>A day in a query string, YYYY-MM-DD and nothing else.</summary>
/// <param name="Day">The day.</param>
internal readonly record struct QueryDay(DateOnly Day)
{
    public const string Hint = "Write a day as 2026-03-14, between the years 1900 and 2200.";

    public static bool TryParse(string? text, IFormatProvider? provider, out QueryDay day)
    {
        var read = DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var value)
            && value.Year is >= 1900 and <= 2200;
        day = new QueryDay(value);
        return read;
    }
}
