using System.Reflection;
using System.Text.Json.Nodes;
using BackTracker.Engine.Alerts;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Commissions;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Observations;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace BackTracker.Service.OpenApi;

/// <summary>The events that subscribed addresses are sent, as webhooks of the document.</summary>
internal sealed class EventBodies : IDocumentFilter
{
    /// <summary>What an event tells, by the noun of its type.</summary>
    private static readonly Dictionary<string, Type> Bodies = new()
    {
        ["check"] = typeof(HorseEvent<CheckData>),
        ["commission"] = typeof(HorseEvent<CommissionData>),
        ["fit"] = typeof(HorseEvent<FitData>),
        ["measurement"] = typeof(HorseEvent<MeasurementData>),
        ["observation"] = typeof(HorseEvent<ObservationData>),
        ["subscription"] = typeof(ServiceEvent<SubscriptionTestData>),
    };

    public void Apply(OpenApiDocument swaggerDoc, DocumentFilterContext context)
    {
        swaggerDoc.Webhooks = new Dictionary<string, IOpenApiPathItem>();
        foreach (var constant in typeof(EventTypes).GetFields(BindingFlags.Public | BindingFlags.Static).Where(f => f.IsLiteral))
        {
            var type = (string)constant.GetRawConstantValue()!;
            swaggerDoc.Webhooks[type] = new OpenApiPathItem { Operations = new() { [HttpMethod.Post] = Operation(swaggerDoc, context, type, constant.Name) } };
        }
    }

    private static OpenApiOperation Operation(OpenApiDocument document, DocumentFilterContext context, string type, string name) => new()
    {
        OperationId = "told" + name,
        Tags = new HashSet<OpenApiTagReference> { new("Subscriptions", document) },
        Summary = XmlWords.OfField(typeof(EventTypes), name),
        Description = "Sent to every subscribed address, at least once and in order of one horse. Verify the signature before you read the body.",
        Security = [new OpenApiSecurityRequirement()],
        Parameters =
        [
            Header("webhook-id", "Id of the event, the same at every try; the `id` of the body.", new OpenApiSchema { Type = JsonSchemaType.String, Format = "uuid" }),
            Header("webhook-timestamp", "When it is tried, seconds since 1970 (UTC). Refuse what is more than five minutes old.", new OpenApiSchema { Type = JsonSchemaType.String, Pattern = "^[0-9]+$" }),
            Header("webhook-signature", "`v1,` and base64 of HMAC-SHA256 over `{webhook-id}.{webhook-timestamp}.{body}`, by the Standard Webhooks specification; two parted by a blank for a day after a rotation.", new OpenApiSchema { Type = JsonSchemaType.String }),
        ],
        RequestBody = new OpenApiRequestBody
        {
            Required = true,
            Description = "A CloudEvent 1.0.",
            Content = new Dictionary<string, IOpenApiMediaType> { ["application/cloudevents+json"] = new OpenApiMediaType { Schema = Body(context, type) } },
        },
        Responses = new OpenApiResponses
        {
            ["2XX"] = new OpenApiResponse { Description = "Taken; also where its id is known already. Answer within 15 seconds." },
            ["410"] = new OpenApiResponse { Description = "Nobody wants these any more: the subscription ends." },
            ["default"] = new OpenApiResponse { Description = "Not taken: it is tried again for about three days, after Retry-After where 429 or 503 say so." },
        },
    };

    private static OpenApiSchema Body(DocumentFilterContext context, string type) => new()
    {
        AllOf =
        [
            context.SchemaGenerator.GenerateSchema(Bodies[type.Split('.')[1]], context.SchemaRepository),
            new OpenApiSchema { Properties = new Dictionary<string, IOpenApiSchema> { ["type"] = new OpenApiSchema { Type = JsonSchemaType.String, Const = type } } },
        ],
    };

    private static OpenApiParameter Header(string name, string text, OpenApiSchema schema) =>
        new() { Name = name, In = ParameterLocation.Header, Required = true, Description = text, Schema = schema, Example = ExampleOf(name) };

    private static JsonNode? ExampleOf(string name) => ExampleWords.Member("", name);
}

/// <summary>An event as it is sent: CloudEvents 1.0 in JSON.</summary>
/// <param name="Specversion">`1.0`.</param>
/// <param name="Id">Id of the event. Take one that you know already with 200 and do nothing.</param>
/// <param name="Type">What happened.</param>
/// <param name="Source">The yard, `urn:backtracker:yard:...`; of a test `urn:backtracker:service`.</param>
/// <param name="Subject">Id of the horse; of a test that of the subscription.</param>
/// <param name="Time">When it happened.</param>
/// <param name="Datacontenttype">`application/json`.</param>
/// <param name="Data">The record it happened to.</param>
internal record ServiceEvent<TData>(string Specversion, Guid Id, string Type, string Source, Guid Subject, DateTimeOffset Time, string Datacontenttype, TData Data)
    where TData : notnull;

/// <summary>An event of a horse as it is sent: CloudEvents 1.0 in JSON.</summary>
internal sealed record HorseEvent<TData>(string Specversion, Guid Id, string Type, string Source, Guid Subject, DateTimeOffset Time, string Datacontenttype, TData Data)
    : ServiceEvent<TData>(Specversion, Id, Type, Source, Subject, Time, Datacontenttype, Data)
    where TData : notnull
{
    /// <summary>Place among the events of this horse, greater for a later one, compared as text.</summary>
    public required string Sequence { get; init; }
}

/// <summary>What a test of a subscription tells.</summary>
/// <param name="SubscriptionId">The subscription.</param>
/// <param name="Link">Where to read it.</param>
internal sealed record SubscriptionTestData(string SubscriptionId, string Link);
