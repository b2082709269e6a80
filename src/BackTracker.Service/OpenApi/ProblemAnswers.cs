using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Service.Http;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace BackTracker.Service.OpenApi;

/// <summary>Puts every problem answer once among the components, with an example of each kind it may be, and points the operations there.</summary>
internal sealed class ProblemAnswers : IDocumentFilter
{
    private const string MediaType = "application/problem+json";

    public void Apply(OpenApiDocument swaggerDoc, DocumentFilterContext context)
    {
        var shared = (swaggerDoc.Components ??= new()).Responses ??= new Dictionary<string, IOpenApiResponse>();
        var schema = context.SchemaGenerator.GenerateSchema(typeof(ProblemDocument), context.SchemaRepository);
        foreach (var responses in Growth.Operations(swaggerDoc).Select(o => o.Responses!))
            foreach (var status in responses.Keys.Where(status => status[0] is '4' or '5').ToList())
            {
                var kinds = ProblemKind.All.Where(k => k.Status == int.Parse(status, CultureInfo.InvariantCulture)).ToList();
                var name = string.Concat(kinds[0].Name.Split('-').Select(word => char.ToUpperInvariant(word[0]) + word[1..]));
                shared.TryAdd(name, Answer(kinds, schema));
                responses[status] = new OpenApiResponseReference(name, swaggerDoc);
            }
    }

    private static OpenApiResponse Answer(List<ProblemKind> kinds, IOpenApiSchema schema) => new()
    {
        Description = string.Join(" ", kinds.Select(k => $"`{k.Name}`: {k.Title}.")),
        Headers = HeadersOf(kinds[0].Status),
        Content = new Dictionary<string, IOpenApiMediaType>
        {
            [MediaType] = new OpenApiMediaType { Schema = schema, Examples = kinds.ToDictionary(k => k.Name, IOpenApiExample (k) => new OpenApiExample { Summary = k.Title, Value = Example(k) }) },
        },
    };

    private static Dictionary<string, IOpenApiHeader>? HeadersOf(int status) => status switch
    {
        401 => new() { ["WWW-Authenticate"] = UsualAnswers.Says("How to identify yourself: `Bearer`.", required: true) },
        429 => new()
        {
            ["Retry-After"] = new OpenApiHeader { Description = "Seconds to wait.", Required = true, Schema = new OpenApiSchema { Type = JsonSchemaType.Integer } },
            [RateFields.State] = UsualAnswers.Says("What is left: r requests, until t seconds have passed.", required: false),
            [RateFields.Policy] = UsualAnswers.Says("What may be asked: q requests in w seconds.", required: false),
        },
        _ => null,
    };

    private static JsonObject Example(ProblemKind kind)
    {
        var problem = ExampleWords.Problem(kind.Name);
        return new JsonObject
        {
            ["type"] = kind.Type,
            ["title"] = kind.Title,
            ["status"] = kind.Status,
            ["detail"] = problem?["detail"]?.DeepClone() ?? kind.Title + ".",
            ["errors"] = problem?["errors"]?.DeepClone(),
            ["traceId"] = "8f0c7a52d1b64e0f9a3c5d7e1b2f4a60",
        };
    }
}
