using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Exports;

/// <summary>Everything of a yard, to be kept or taken elsewhere.</summary>
internal static class ExportEndpoints
{
    public const string MediaType = "application/x-ndjson";

    public static void MapExports(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/v1/yards/{id}/export", ExportAsync).Needs(Scope.Admin).WithTags("Imports").WithSummary("Export everything of a yard").Produces<string>(200, MediaType);

    private static async Task ExportAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        string yardId;
        await using (var session = await database.ReadAsync(cancel))
            yardId = (await YardEndpoints.RequireAsync(session, caller, id)).Id;
        http.Response.ContentType = MediaType;
        http.Response.Headers.ContentDisposition = $"attachment; filename=\"yard-{yardId}.ndjson\"";
        using var export = new YardExport(http.Response.Body);
        await export.WriteAsync(database, yardId, cancel);
    }
}
