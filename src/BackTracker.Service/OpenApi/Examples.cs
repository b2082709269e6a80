using System.Text.Json.Nodes;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace BackTracker.Service.OpenApi;

/// <summary>Gives every body an example: of a request the one written for it, of an answer one put together from the examples of its members.</summary>
internal sealed class Examples : IDocumentFilter
{
    public void Apply(OpenApiDocument swaggerDoc, DocumentFilterContext context)
    {
        var maker = new ExampleMaker(context.SchemaRepository.Schemas);
        foreach (var operation in Growth.Operations(swaggerDoc))
        {
            foreach (var media in (operation.RequestBody?.Content?.Values ?? []).OfType<OpenApiMediaType>())
                Show(swaggerDoc, maker, media);
            foreach (var answer in operation.Responses!.Values.OfType<OpenApiResponse>())
                foreach (var media in (answer.Content ?? new Dictionary<string, IOpenApiMediaType>()).Where(c => c.Key == "application/json").Select(c => c.Value).OfType<OpenApiMediaType>())
                    Show(swaggerDoc, maker, media);
        }
        foreach (var (type, path) in swaggerDoc.Webhooks!)
            foreach (var media in path.Operations!.Values.Single().RequestBody!.Content!.Values.OfType<OpenApiMediaType>())
                media.Example = EventOf(maker, media.Schema!.AllOf![0], type);
    }

    /// <summary>Points a body to the example of its schema.</summary>
    private static void Show(OpenApiDocument document, ExampleMaker maker, OpenApiMediaType media)
    {
        if (media.Schema is not OpenApiSchemaReference { Reference.Id: { } name } schema)
            return;
        var shared = document.Components!.Examples ??= new Dictionary<string, IOpenApiExample>();
        if (!shared.ContainsKey(name))
            shared[name] = new OpenApiExample { Summary = maker.Target(schema).Description?.Split('\n')[0], Value = ExampleWords.Request(name) ?? maker.Of(schema) };
        media.Examples = new Dictionary<string, IOpenApiExample> { [name] = new OpenApiExampleReference(name, document) };
    }

    private static JsonNode EventOf(ExampleMaker maker, IOpenApiSchema body, string type)
    {
        var example = maker.Of(body)!;
        example["type"] = type;
        return example;
    }
}
