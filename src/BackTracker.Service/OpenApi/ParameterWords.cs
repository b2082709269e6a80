using System.Globalization;
using System.Reflection;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Service.Pictures;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace BackTracker.Service.OpenApi;

/// <summary>Describes the parameters of addresses and queries. A name means the same on every route, so it is described once.</summary>
internal sealed class ParameterWords : IParameterFilter
{
    private static readonly Dictionary<string, string> Texts = new()
    {
        ["otherId"] = "The person to compare with; the person's own repeats are compared unless given.",
        ["yardId"] = "Only what belongs to this yard.",
        ["horseId"] = "Only what concerns this horse.",
        ["saddleId"] = "Only what concerns this saddle.",
        ["fitterId"] = "Only what concerns this fitter.",
        ["from"] = "First day, in the yard.",
        ["to"] = "Last day, in the yard.",
        ["on"] = "The day the answer is about, `asOf` unless given; after `asOf` it is a forecast.",
        ["asOf"] = "What is known: things that happened after this day are not looked at. Today unless given.",
        ["dueBefore"] = "Only what is due before this day.",
        ["station"] = "Only this station of the back, `T5` to `T18`.",
        ["measurementId"] = "Drawn from this measurement; from the latest that was traced unless given.",
        ["metric"] = "Only this metric, such as `T13.width150`.",
        ["horizonDays"] = "How many days to look ahead.",
        ["paper"] = "The paper that is printed on; `a4` unless given.",
        ["width"] = "Width of the picture, px.",
        ["firmness"] = "How the panel with the tissue under it gives: a guess. `normal` unless given.",
        ["riderWeightKg"] = "Weight of another rider than the pairing's, kg.",
        ["girthN"] = "How hard the girth pulls down in all, N, over the middle of the front third; left out unless given.",
        ["riderRightMm"] = "How far to the right of the middle the rider sits, mm; in the middle unless given.",
        ["open"] = "Whether only what is open, or only what is settled.",
        ["state"] = "Only what is in this state.",
        ["stage"] = "Only what stands in this stage.",
        ["status"] = "Only those of this status.",
        ["role"] = "Only those with this role.",
        ["dryRun"] = "Whether only to say what would happen, and keep nothing.",
        ["resource"] = "Only what was done to this kind of thing, such as `horse`.",
        ["resourceId"] = "Only what was done to this one.",
        ["by"] = "Only what was done with this key, or by this part of the service, such as `assessor`.",
        ["token"] = "The secret part of the address.",
    };

    private static readonly Dictionary<string, (int Least, int Most)> Ranges = new()
    {
        ["horizonDays"] = (1, TrendEndpoints.LongestHorizonDays),
        ["width"] = (PictureFrame.LeastWidthPx, PictureFrame.MostWidthPx),
        ["riderWeightKg"] = SupposedRider.WeightRangeKg,
        ["girthN"] = SupposedRider.GirthRangeN,
        ["riderRightMm"] = SupposedRider.RightRangeMm,
    };

    public void Apply(IOpenApiParameter parameter, ParameterFilterContext context)
    {
        var described = (OpenApiParameter)parameter;
        var name = described.Name!;
        described.Description ??= Texts.GetValueOrDefault(name) ?? (described.In == ParameterLocation.Path ? IdText(name) : null);
        if (described.Schema is not OpenApiSchema schema)
            return;
        var type = context.ParameterInfo?.ParameterType;
        if (context.ParameterInfo?.GetCustomAttribute<WordsOfAttribute>() is { } words)
            described.Schema = context.SchemaGenerator.GenerateSchema(words.Type, context.SchemaRepository);
        else if (type == typeof(QueryDay?))
            schema.Format = "date";
        else if (name.EndsWith("Id", StringComparison.Ordinal) || name == "id")
            schema.Format = "uuid";
        if (Ranges.TryGetValue(name, out var range))
            (schema.Minimum, schema.Maximum) = (range.Least.ToString(CultureInfo.InvariantCulture), range.Most.ToString(CultureInfo.InvariantCulture));
    }

    private static string IdText(string name) => name == "id" ? "Which one." : $"Which {name[..^2]}.";
}
