using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace BackTracker.Service.Pages;

/// <summary>A number as people type it: with a point or a comma.</summary>
internal sealed class TypedNumber : JsonConverter<double>
{
    public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.TokenType switch
    {
        JsonTokenType.Number when reader.TryGetDouble(out var number) && double.IsFinite(number) => number,
        JsonTokenType.String when double.TryParse(reader.GetString()!.Replace(',', '.'), NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var typed) => typed,
        _ => throw new JsonException(null, new FormatException("Write a number, such as 12.5.")),
    };

    public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options) => writer.WriteNumberValue(value);
}

/// <summary>A whole number as people type it.</summary>
internal sealed class TypedWhole : JsonConverter<int>
{
    public override int Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String && int.TryParse(reader.GetString(), NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var typed)
            ? typed
            : throw new JsonException(null, new FormatException("Write a whole number, such as 7."));

    public override void Write(Utf8JsonWriter writer, int value, JsonSerializerOptions options) => writer.WriteNumberValue(value);
}

/// <summary>A tick, or yes or no chosen from a list.</summary>
internal sealed class TypedAnswer : JsonConverter<bool>
{
    public override bool Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.String && bool.TryParse(reader.GetString(), out var answer)
            ? answer
            : throw new JsonException(null, new FormatException("Choose one of the answers."));

    public override void Write(Utf8JsonWriter writer, bool value, JsonSerializerOptions options) => writer.WriteBooleanValue(value);
}
