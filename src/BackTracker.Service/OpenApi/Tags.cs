using System.Reflection;
using Microsoft.AspNetCore.Http.Metadata;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace BackTracker.Service.OpenApi;

/// <summary>Says of each tag what the class says that answers its first route.</summary>
internal sealed class Tags : IDocumentFilter
{
    public void Apply(OpenApiDocument swaggerDoc, DocumentFilterContext context)
    {
        foreach (var tag in swaggerDoc.Tags ?? new HashSet<OpenApiTag>())
            tag.Description = context.ApiDescriptions.Select(d => d.ActionDescriptor.EndpointMetadata)
                .First(metadata => metadata.OfType<ITagsMetadata>().Any(t => t.Tags.Contains(tag.Name!)))
                .OfType<MethodInfo>().Select(handler => XmlWords.Of(handler.DeclaringType!)).FirstOrDefault();
    }
}
