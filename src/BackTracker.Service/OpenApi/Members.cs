using System.ComponentModel.DataAnnotations;
using System.Reflection;
using System.Text.Json;
using BackTracker.Service.Features.Policies;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace BackTracker.Service.OpenApi;

/// <summary>Says of members what their types do not: which texts are ids, instants and addresses, what may be null, and what the words of an enum mean.</summary>
internal sealed class Members : ISchemaFilter
{
    private static readonly string[] Named = ["corrects", "replacedBy", "measuredBy", "doneBy", "acknowledgedBy"];
    private static readonly string[] Foreign = ["traceId", "sourceId"];

    public void Apply(IOpenApiSchema schema, SchemaFilterContext context)
    {
        if (schema is not OpenApiSchema whole || context.MemberInfo is not null || context.ParameterInfo is not null)
            return;
        if (context.Type == typeof(PolicyRequest))
            PolicyRequest.Describe(whole);
        else if (context.Type.IsEnum)
            whole.Description = EnumText(context.Type, whole.Description);
        else
            ApplyToMembers(whole, context);
    }

    private static void ApplyToMembers(OpenApiSchema whole, SchemaFilterContext context)
    {
        foreach (var property in context.Type.GetProperties())
        {
            var name = JsonNamingPolicy.CamelCase.ConvertName(property.Name);
            if (whole.Properties?.TryGetValue(name, out var member) != true)
                continue;
            if (member is OpenApiSchemaReference reference && MayBeNull(property))
                whole.Properties![name] = OrNull(reference);
            else if (member is OpenApiSchema text)
                GiveFormat(context.Type, name, text);
        }
    }

    /// <summary>A bare reference would refuse the null that is written where there is nothing.</summary>
    private static OpenApiSchema OrNull(OpenApiSchemaReference reference) => new()
    {
        Description = reference.Description,
        OneOf = [new OpenApiSchemaReference(reference.Reference.Id!, reference.Reference.HostDocument), new OpenApiSchema { Type = JsonSchemaType.Null }],
    };

    private static bool MayBeNull(PropertyInfo property) =>
        property.GetCustomAttribute<RequiredAttribute>() is null
        && (Nullable.GetUnderlyingType(property.PropertyType) is not null || new NullabilityInfoContext().Create(property).ReadState == NullabilityState.Nullable);

    private static void GiveFormat(Type owner, string name, OpenApiSchema member)
    {
        if (member.Items is OpenApiSchema item && name.EndsWith("Ids", StringComparison.Ordinal))
            item.Format = "uuid";
        if (member.Type?.HasFlag(JsonSchemaType.String) == true)
            member.Format ??= FormatOf(owner, name);
    }

    private static string? FormatOf(Type owner, string name) => name switch
    {
        "link" or "next" or "assessment" => "uri-reference",
        "email" => "email",
        "id" => "uuid",
        "by" when owner.Name.EndsWith("Request", StringComparison.Ordinal) => "uuid", // In answers it may be the service itself.
        _ when Foreign.Contains(name) => null,
        _ when Named.Contains(name) || name.EndsWith("Id", StringComparison.Ordinal) => "uuid",
        _ when name == "at" || name.EndsWith("At", StringComparison.Ordinal) || name.EndsWith("Until", StringComparison.Ordinal) => "date-time",
        _ => null,
    };

    private static string EnumText(Type type, string? summary)
    {
        var words = from field in type.GetFields(BindingFlags.Public | BindingFlags.Static)
                    where XmlWords.OfField(type, field.Name) is not null
                    select $"- `{JsonNamingPolicy.KebabCaseLower.ConvertName(field.Name)}`: {XmlWords.OfField(type, field.Name)}";
        return string.Join('\n', words.Prepend(summary ?? XmlWords.Of(type) ?? "One of these words."));
    }
}

/// <summary>Marks a query parameter that takes the words of an enum.</summary>
[AttributeUsage(AttributeTargets.Parameter)]
internal sealed class WordsOfAttribute(Type type) : Attribute
{
    public Type Type => type;
}
