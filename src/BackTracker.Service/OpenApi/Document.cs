using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;
using BackTracker.Service.Http;
using Microsoft.OpenApi;
using Swashbuckle.AspNetCore.Swagger;

namespace BackTracker.Service.OpenApi;

/// <summary>The OpenAPI 3.1 document.</summary>
internal static class Document
{
    public const string Name = "v1";
    public const string Route = $"/openapi/{Name}.json";

    public static IServiceCollection AddDocument(this IServiceCollection services) => services
        .AddEndpointsApiExplorer()
        .AddSwaggerGen(options =>
        {
            options.SwaggerDoc(Name, new OpenApiInfo
            {
                Title = "BackTracker",
                Version = Name,
                Description = "Dated back measurements of horses, trends with honest uncertainty, fit of the saddle tree, and checks booked with the right person. A flag means stop and have it looked at; a green line does not mean safe.",
                Contact = new OpenApiContact { Name = "The BackTracker authors" },
                License = new OpenApiLicense { Name = "MIT", Identifier = "MIT" },
            });
            options.AddSecurityDefinition("key", new OpenApiSecurityScheme
            {
                Type = SecuritySchemeType.Http,
                Scheme = "bearer",
                Description = "An API key: bt_...",
            });
            options.AddServer(new OpenApiServer { Url = "/", Description = "The service that serves this document." });
            foreach (var file in XmlWords.Files)
                options.IncludeXmlComments(file);
            options.SupportNonNullableReferenceTypes();
            options.NonNullableReferenceTypesAsRequired();
            options.MapType<QueryDay>(() => new OpenApiSchema { Type = JsonSchemaType.String, Format = "date" });
            options.MapType<JsonNode>(() => new OpenApiSchema { Type = JsonSchemaType.Object, AdditionalPropertiesAllowed = true });
            options.CustomSchemaIds(SchemaId);
            options.SchemaFilter<Members>();
            options.ParameterFilter<ParameterWords>();
            options.OperationFilter<UsualAnswers>();
            options.DocumentFilter<Tags>();
            options.DocumentFilter<EventBodies>();
            options.DocumentFilter<ProblemAnswers>();
            options.DocumentFilter<Growth>();
            options.DocumentFilter<Examples>();
        });

    private static string SchemaId(Type type) => type.IsGenericType
        ? string.Concat(type.GetGenericArguments().Select(SchemaId)) + type.Name.Split('`')[0]
        : type.DeclaringType is { } outer && !type.IsGenericParameter ? SchemaId(outer) + type.Name : type.Name;

    public static void MapDocument(this WebApplication app)
    {
        // Written once: it takes longer than any other answer, and anybody may ask for it.
        var one = new Lock();
        byte[] written = [];
        app.MapGet(Route, () =>
        {
            lock (one)
                written = written.Length > 0 ? written : Write(app.Services.GetRequiredService<ISwaggerProvider>().GetSwagger(Name));
            return Results.Bytes(written, "application/json; charset=utf-8");
        }).ExcludeFromDescription();
    }

    private static byte[] Write(OpenApiDocument document)
    {
        using var text = new StringWriter(CultureInfo.InvariantCulture);
        document.SerializeAsV31(new OpenApiJsonWriter(text));
        return Encoding.UTF8.GetBytes(text.ToString());
    }
}
