using System.Text.Json.Nodes;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Assessments;

/// <summary>A stored assessment: what was read, by what version of the engine, and what came out.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="AssessedOn">The day it is about.</param>
/// <param name="EngineVersion">Version of the rules.</param>
/// <param name="Inputs">Ids and versions of what was read, and the settings.</param>
/// <param name="Outputs">What came out.</param>
/// <param name="CreatedAt">When it was stored.</param>
public sealed record AssessmentAnswer(
    string Id, string HorseId, DateOnly AssessedOn, string EngineVersion, JsonNode Inputs, AssessmentDocument Outputs, string CreatedAt)
{
    public static AssessmentAnswer Of(AssessmentRow row) => new(
        row.Id, row.HorseId, Instants.ReadDay(row.AssessedOn), row.EngineVersion, JsonNode.Parse(row.Inputs)!, AssessmentDocument.Read(row.Outputs), row.CreatedAt);
}

/// <summary>Stored assessments: what stands behind a flag.</summary>
internal static class AssessmentEndpoints
{
    public static void MapAssessments(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/v1/assessments/{id}", GetAsync).WithTags("Assessments").Needs(Scope.Read).Gets<AssessmentAnswer>("Get a stored assessment");
        routes.MapGet("/v1/horses/{id}/assessments", ListAsync).WithTags("Assessments").Needs(Scope.Read).Lists<AssessmentAnswer>("List a horse's stored assessments");
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await AssessmentStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("assessment", id);
        return Conditional.Ok(http, AssessmentAnswer.Of(row), 1);
    }

    private static async Task<IResult> ListAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        return Paging.List(http, await AssessmentStore.ListAsync(session, horse.Id, Paging.Of(http)), AssessmentAnswer.Of);
    }
}
