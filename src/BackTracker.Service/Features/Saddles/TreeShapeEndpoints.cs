using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Saddles;

/// <summary>The shapes a saddle's tree had.</summary>
internal static class TreeShapeEndpoints
{
    public static void MapTreeShapes(this IEndpointRouteBuilder routes)
    {
        routes.MapPost("/v1/saddles/{id}/tree-shapes", RecordAsync).WithTags("Saddles").Needs(Scope.Fit).Creates<TreeShapeAnswer>("Record the shape of a tree from a day on");
        routes.MapGet("/v1/saddles/{id}/tree-shapes", ListAsync).WithTags("Saddles").Needs(Scope.Read).Lists<TreeShapeAnswer>("List the shapes of a tree");
        routes.MapGet("/v1/tree-shapes/{id}", GetAsync).WithTags("Saddles").Needs(Scope.Read).Gets<TreeShapeAnswer>("Get the shape of a tree");
        routes.MapPost("/v1/tree-shapes/{id}/void", VoidAsync).WithTags("Saddles").Needs(Scope.Fit).Moves<TreeShapeAnswer>("Void a shape recorded by mistake");
    }

    public static Task<IResult> RecordAsync(HttpContext http, string id, TreeShapeRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var saddle = await SaddleEndpoints.RequireAsync(session, caller, id);
        if (saddle.Tree == "treeless")
            throw new ProblemException(ProblemKind.Conflict, "The saddle has no tree, so there is no shape to record. Change the saddle first if that is wrong.");
        if (request.From > await YardTime.TodayAsync(session, saddle.YardId, session.Now))
            throw ProblemException.Impossible("/from", "A shape is recorded from the day it was measured on: today or earlier.");
        var row = new TreeShapeRow
        {
            Id = session.NewId(),
            SaddleId = saddle.Id,
            FromDay = Instants.WriteDay(request.From!.Value),
            Body = Json.Write(request),
            Version = 1,
            CreatedAt = session.NowText,
        };
        await SaddleStore.AddShapeAsync(session, row);
        await AuditStore.NoteAsync(session, "create", "tree-shape", row.Id);
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, saddle.Id);
        return Answer.Created($"/v1/tree-shapes/{row.Id}", TreeShapeAnswer.Of(row), row.Version);
    });

    private static async Task<IResult> ListAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var saddle = await SaddleEndpoints.RequireAsync(session, caller, id);
        return Paging.List(http, await SaddleStore.ListShapesAsync(session, saddle.Id, Paging.Of(http)), TreeShapeAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var shape = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, TreeShapeAnswer.Of(shape), shape.Version);
    }

    private static Task<IResult> VoidAsync(HttpContext http, string id, VoidRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var shape = await RequireAsync(session, caller, id);
        if (shape.VoidedAt is not null)
            throw ProblemException.VoidedAlready(shape.VoidReason);
        Conditional.RequireMatch(http, shape.Version);
        if (!await SaddleStore.VoidShapeAsync(session, shape.Id, request.Reason!))
            throw ProblemException.Overtaken();
        await AuditStore.NoteAsync(session, "void", "tree-shape", shape.Id);
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, shape.SaddleId);
        return Answer.Ok(TreeShapeAnswer.Of(await RequireAsync(session, caller, id)), shape.Version + 1);
    });

    private static async Task<TreeShapeRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await SaddleStore.FindShapeAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("tree shape", id);
}
