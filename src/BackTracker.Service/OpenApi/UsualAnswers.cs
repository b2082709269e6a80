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
        var kinds = new List<ProblemKind> { ProblemKind.QuotaExceeded, ProblemKind.Unexpected, ProblemKind.NotReady };
        if (scope is not null)
        {
            operation.Description = $"Needs the scope {scope}.";
            operation.Security = [new OpenApiSecurityRequirement { [new OpenApiSecuritySchemeReference("key", context.Document)] = [] }];
            kinds.AddRange([ProblemKind.Malformed, ProblemKind.NoKey, ProblemKind.WrongScope, ProblemKind.NotFound]);
        }
        if (metadata.OfType<IsOpen>().FirstOrDefault() is { } open)
        {
            operation.Description = $"Needs no key. {open.Why}";
            operation.Security = [new OpenApiSecurityRequirement()];
            kinds.AddRange([ProblemKind.BadQuery, ProblemKind.NotFound]);
        }
        if (metadata.OfType<TakesFile>().FirstOrDefault() is { } file)
            operation.RequestBody = FileBody(file);
        if (operation.RequestBody is not null)
            kinds.AddRange([ProblemKind.TooSlow, ProblemKind.TooLarge, ProblemKind.MediaType]);
        AddHeaders(operation, metadata, kinds);
        AddAnswerHeaders(operation, metadata);
        foreach (var kind in kinds.DistinctBy(k => k.Status).OrderBy(k => k.Status))
            operation.Responses!.TryAdd(kind.Status.ToString(System.Globalization.CultureInfo.InvariantCulture), new OpenApiResponse { Description = kind.Title });
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

    private static void AddAnswerHeaders(OpenApiOperation operation, IList<object> metadata)
    {
        var versioned = operation.Responses!.ContainsKey("304");
        var tagged = versioned || metadata.OfType<TakesIfMatch>().Any() || metadata.OfType<TellsVersion>().Any();
        if (versioned)
            operation.Parameters!.Add(Header("If-None-Match", "The ETag of the version you have: 304 where it is still that.", required: false));
        foreach (var (status, answer) in operation.Responses.Select(r => (r.Key, (OpenApiResponse)r.Value)).Where(r => r.Key[0] != '4'))
        {
            var headers = new Dictionary<string, IOpenApiHeader>();
            if (tagged || operation.RequestBody is not null || metadata.OfType<TakesIdempotencyKey>().Any())
                headers["ETag"] = Says("Version of what is answered, for If-Match and If-None-Match.", required: tagged);
            if (status == "201")
                headers["Location"] = Says("Where to read what was made.", required: true);
            if (metadata.OfType<TakesPage>().Any())
                headers["Link"] = Says("The next page, `<...>; rel=\"next\"` (RFC 8288); none on the last.", required: false);
            if (metadata.OfType<TakesIdempotencyKey>().Any())
                headers["Idempotency-Replayed"] = Says("`true` where this repeats the first answer to the same Idempotency-Key.", required: false);
            answer.Headers = headers.Count == 0 ? null : headers;
        }
    }

    /// <summary>A header of an answer.</summary>
    public static OpenApiHeader Says(string text, bool required) => new() { Description = text, Required = required, Schema = Text() };

    private static string OperationId(OperationFilterContext context)
    {
        var path = context.ApiDescription.RelativePath!.Split('?')[0].Split('/', StringSplitOptions.RemoveEmptyEntries).Skip(1)
            .Select(part => string.Concat(part.Split(['{', '}', '-', '.'], StringSplitOptions.RemoveEmptyEntries).Select(w => char.ToUpperInvariant(w[0]) + w[1..])));
        return context.ApiDescription.HttpMethod!.ToLowerInvariant() + string.Concat(path);
    }

    private static OpenApiParameter Query(string name, string text, OpenApiSchema schema) =>
        new() { Name = name, In = ParameterLocation.Query, Description = text, Schema = schema };

    private static OpenApiParameter Header(string name, string text, bool required) =>
        new() { Name = name, In = ParameterLocation.Header, Description = text, Required = required, Schema = Text() };

    private static OpenApiSchema Text() => new() { Type = JsonSchemaType.String };
}
