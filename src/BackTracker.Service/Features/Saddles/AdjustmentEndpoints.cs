using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Saddles;

/// <summary>What was changed on a saddle.</summary>
internal static class AdjustmentEndpoints
{
    public static void MapAdjustments(this IEndpointRouteBuilder routes)
    {
        routes.MapPost("/v1/saddles/{id}/adjustments", RecordAsync).WithTags("Saddles").Needs(Scope.Fit).Creates<AdjustmentAnswer>("Record a change to a saddle");
        routes.MapGet("/v1/saddles/{id}/adjustments", ListAsync).WithTags("Saddles").Needs(Scope.Read).Lists<AdjustmentAnswer>("List the changes to a saddle");
        routes.MapGet("/v1/adjustments/{id}", GetAsync).WithTags("Saddles").Needs(Scope.Read).Gets<AdjustmentAnswer>("Get a change to a saddle");
        routes.MapPost("/v1/adjustments/{id}/void", VoidAsync).WithTags("Saddles").Needs(Scope.Fit).Moves<AdjustmentAnswer>("Void a change recorded by mistake");
    }

    private static Task<IResult> RecordAsync(HttpContext http, string id, AdjustmentRequest request, Caller caller, Writes writes, CheckPolicy policy) => writes.RunAsync(http, request, async session =>
    {
        var saddle = await SaddleEndpoints.RequireAsync(session, caller, id);
        var row = await AdjustmentRecorder.RecordAsync(session, caller, saddle, request, null, policy);
        return Answer.Created($"/v1/adjustments/{row.Id}", AdjustmentAnswer.Of(row), row.Version);
    });

    private static async Task<IResult> ListAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var saddle = await SaddleEndpoints.RequireAsync(session, caller, id);
        return Paging.List(http, await SaddleStore.ListAdjustmentsAsync(session, saddle.Id, Paging.Of(http)), AdjustmentAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, AdjustmentAnswer.Of(row), row.Version);
    }

    private static Task<IResult> VoidAsync(HttpContext http, string id, VoidRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var row = await RequireAsync(session, caller, id);
        if (row.VoidedAt is not null)
            throw ProblemException.VoidedAlready(row.VoidReason);
        Conditional.RequireMatch(http, row.Version);
        if (!await SaddleStore.VoidAdjustmentAsync(session, row.Id, request.Reason!))
            throw ProblemException.Overtaken();
        await AuditStore.NoteAsync(session, "void", "adjustment", row.Id);
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, row.SaddleId);
        return Answer.Ok(AdjustmentAnswer.Of(await RequireAsync(session, caller, id)), row.Version + 1);
    });

    private static async Task<AdjustmentRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await SaddleStore.FindAdjustmentAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("adjustment", id);
}
