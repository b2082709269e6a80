using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace BackTracker.Service.OpenApi;

/// <summary>
/// Answers may grow, so what is only ever answered is left open for members to come; and every member of it is always written, so that a
/// reader's types need not ask whether it is there. What is asked stays closed: a misspelt member must not vanish.
/// </summary>
internal sealed class Growth : IDocumentFilter
{
    public void Apply(OpenApiDocument swaggerDoc, DocumentFilterContext context)
    {
        var schemas = swaggerDoc.Components!.Schemas!;
        var asked = new HashSet<string>();
        foreach (var content in Operations(swaggerDoc).Select(o => o.RequestBody?.Content).OfType<IDictionary<string, IOpenApiMediaType>>())
            foreach (var media in content.Values)
                Collect(schemas, media.Schema, asked);
        foreach (var schema in schemas.Where(s => !asked.Contains(s.Key)).Select(s => s.Value).OfType<OpenApiSchema>().Where(s => s.Properties?.Count > 0))
        {
            schema.AdditionalPropertiesAllowed = true;
            schema.Required = schema.Properties!.Keys.ToHashSet();
        }
    }

    public static IEnumerable<OpenApiOperation> Operations(OpenApiDocument document) =>
        document.Paths.Values.SelectMany(path => path.Operations ?? []).Select(o => o.Value);

    private static void Collect(IDictionary<string, IOpenApiSchema> schemas, IOpenApiSchema? schema, HashSet<string> names)
    {
        if (schema is OpenApiSchemaReference reference)
        {
            if (!names.Add(reference.Reference.Id!))
                return;
            schema = schemas[reference.Reference.Id!];
        }
        if (schema is null)
            return;
        foreach (var part in (schema.Properties?.Values ?? []).Concat(schema.OneOf ?? []).Append(schema.Items).Append(schema.AdditionalProperties))
            Collect(schemas, part, names);
    }
}
