using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;
using BackTracker.Engine.Checks;
using Microsoft.OpenApi;

namespace BackTracker.Service.Features.Policies;

/// <summary>The settings that a yard or a pairing is to have of its own, by name; what is null or left out falls back to the level above.</summary>
/// <param name="Values">Values by name of the setting.</param>
[JsonConverter(typeof(PolicyRequestConverter))]
public sealed record PolicyRequest(IReadOnlyDictionary<string, double> Values)
{
    /// <summary>Puts what the document says of it into a schema: every setting that may be set below the service, with its range.</summary>
    internal static void Describe(OpenApiSchema schema)
    {
        schema.Required = null;
        schema.AdditionalPropertiesAllowed = false;
        schema.Properties = PolicySettings.All.Where(setting => setting.Narrowest > PolicyLevel.Service).ToDictionary(setting => setting.Name, IOpenApiSchema (setting) => new OpenApiSchema
        {
            Type = (setting.IsWhole ? JsonSchemaType.Integer : JsonSchemaType.Number) | JsonSchemaType.Null,
            Minimum = setting.Least.ToString(CultureInfo.InvariantCulture),
            Maximum = setting.Most.ToString(CultureInfo.InvariantCulture),
            Description = $"{setting.Text} Unit: {setting.Unit}.{(setting.Narrowest == PolicyLevel.Yard ? " Of a yard only." : "")}",
        });
    }
}

/// <summary>Reads settings by name and refuses a name that is none.</summary>
internal sealed class PolicyRequestConverter : JsonConverter<PolicyRequest>
{
    public override PolicyRequest Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        var given = JsonSerializer.Deserialize<Dictionary<string, double?>>(ref reader, options)!;
        if (given.Keys.FirstOrDefault(name => PolicySettings.Find(name) is null) is { } unknown)
            throw new JsonException($"The JSON property '{unknown}' could not be mapped to a setting.");
        return new PolicyRequest(given.Where(value => value.Value is not null).ToDictionary(value => value.Key, value => value.Value!.Value));
    }

    public override void Write(Utf8JsonWriter writer, PolicyRequest value, JsonSerializerOptions options) => JsonSerializer.Serialize(writer, value.Values, options);
}
