using System.Text.Json.Nodes;
using BackTracker.Service.Http;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace BackTracker.Service.OpenApi;

/// <summary>Adds to every operation what every operation has: its scope, its headers and its problem answers.</summary>
internal sealed class UsualAnswers : IOperationFilter
{
    public void Apply(OpenApiOperation operation, OperationFilterContext context)
    {
        var metadata = context.ApiDescription.ActionDescriptor.EndpointMetadata;
        var scope = metadata.OfType<NeedsScope>().FirstOrDefault();
        operation.OperationId ??= OperationId(context);
        var kinds = new List<ProblemKind> { ProblemKind.Unexpected, ProblemKind.NotReady };
        if (scope is not null)
        {
            operation.Description = $"Needs the scope {scope}.";
            operation.Security = [new OpenApiSecurityRequirement { [new OpenApiSecuritySchemeReference("key", context.Document)] = [] }];
            kinds.AddRange([ProblemKind.Malformed, ProblemKind.NoKey, ProblemKind.WrongScope, ProblemKind.NotFound]);
        }
        if (metadata.OfType<IsOpen>().FirstOrDefault() is { } open)
        {
            operation.Description = $"Needs no key. {open.Why}";
            kinds.Add(ProblemKind.NotFound);
        }
        if (metadata.OfType<TakesFile>().FirstOrDefault() is { } file)
            operation.RequestBody = FileBody(file);
        if (operation.RequestBody is not null)
            kinds.AddRange([ProblemKind.TooLarge, ProblemKind.MediaType]);
        AddHeaders(operation, metadata, kinds);
        foreach (var kind in kinds.DistinctBy(k => k.Status).OrderBy(k => k.Status))
            AddProblem(operation, kind, context);
    }

    private static void AddHeaders(OpenApiOperation operation, IList<object> metadata, List<ProblemKind> kinds)
    {
        operation.Parameters ??= [];
        if (metadata.OfType<TakesPage>().Any())
        {
            operation.Parameters.Add(Query("limit", "Most entries on a page.", new OpenApiSchema { Type = JsonSchemaType.Integer, Minimum = "1", Maximum = "500", Default = JsonValue.Create(100) }));
            operation.Parameters.Add(Query("after", "Taken from the address of the next page.", Text()));
        }
        if (metadata.OfType<TakesIfMatch>().Any())
        {
            operation.Parameters.Add(Header("If-Match", "The ETag of the version you change.", required: true));
            kinds.AddRange([ProblemKind.Conflict, ProblemKind.Stale, ProblemKind.Impossible, ProblemKind.IfMatchMissing]);
        }
        if (metadata.OfType<TakesIdempotencyKey>().Any())
        {
            operation.Parameters.Add(Header("Idempotency-Key", "Makes a repeat of this request safe for 48 hours.", required: false));
            kinds.AddRange([ProblemKind.Conflict, ProblemKind.Impossible]);
        }
    }

    private static OpenApiRequestBody FileBody(TakesFile file) => new()
    {
        Required = true,
        Content = file.MediaTypes.ToDictionary(type => type, IOpenApiMediaType (_) => new OpenApiMediaType { Schema = Text() }),
    };

    private static void AddProblem(OpenApiOperation operation, ProblemKind kind, OperationFilterContext context)
    {
        operation.Responses ??= [];
        operation.Responses.TryAdd(kind.Status.ToString(System.Globalization.CultureInfo.InvariantCulture), new OpenApiResponse
        {
            Description = kind.Title,
            Content = new Dictionary<string, IOpenApiMediaType>
            {
                ["application/problem+json"] = new OpenApiMediaType { Schema = context.SchemaGenerator.GenerateSchema(typeof(ProblemDocument), context.SchemaRepository) },
            },
        });
    }

    private static string OperationId(OperationFilterContext context)
    {
        var path = context.ApiDescription.RelativePath!.Split('?')[0].Split('/', StringSplitOptions.RemoveEmptyEntries).Skip(1)
            .Select(part => string.Concat(part.Trim('{', '}').Split('-', '.').Select(w => char.ToUpperInvariant(w[0]) + w[1..])));
        return context.ApiDescription.HttpMethod!.ToLowerInvariant() + string.Concat(path);
    }

    private static OpenApiParameter Query(string name, string text, OpenApiSchema schema) =>
        new() { Name = name, In = ParameterLocation.Query, Description = text, Schema = schema };

    private static OpenApiParameter Header(string name, string text, bool required) =>
        new() { Name = name, In = ParameterLocation.Header, Description = text, Required = required, Schema = Text() };

    private static OpenApiSchema Text() => new() { Type = JsonSchemaType.String };
}
