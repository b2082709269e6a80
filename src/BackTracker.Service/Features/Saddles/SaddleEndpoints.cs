using BackTracker.Engine.Assessments;
using BackTracker.Service.Features.Audit;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Saddles;

/// <summary>Saddles.</summary>
internal static class SaddleEndpoints
{
    public static void MapSaddles(this IEndpointRouteBuilder routes)
    {
        var saddles = routes.MapGroup("/v1/saddles").WithTags("Saddles");
        saddles.MapPost("/", RegisterAsync).Needs(Scope.Manage).Creates<SaddleAnswer>("Register a saddle");
        saddles.MapGet("/", ListAsync).Needs(Scope.Read).Lists<SaddleAnswer>("List saddles");
        saddles.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<SaddleAnswer>("Get a saddle");
        saddles.MapPut("/{id}", ChangeAsync).Needs(Scope.Manage).Changes<SaddleAnswer>("Change a saddle");
        routes.MapTreeShapes();
        routes.MapAdjustments();
    }

    private static Task<IResult> RegisterAsync(HttpContext http, SaddleRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var yard = await YardEndpoints.RequireAsync(session, caller, request.YardId!);
        var saddle = (request with { YardId = yard.Id }).ToRow(session.NewId(), 1, session.NowText);
        await SaddleStore.AddAsync(session, saddle);
        await AuditStore.NoteAsync(session, "create", "saddle", saddle.Id);
        return Answer.Created($"/v1/saddles/{saddle.Id}", SaddleAnswer.Of(saddle), saddle.Version);
    });

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, CancellationToken cancel, string? yardId = null)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = yardId is null ? null : await YardEndpoints.RequireAsync(session, caller, yardId);
        return Paging.List(http, await SaddleStore.ListAsync(session, caller.Sight, yard?.Id, Paging.Of(http)), SaddleAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var saddle = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, SaddleAnswer.Of(saddle), saddle.Version);
    }

    private static Task<IResult> ChangeAsync(HttpContext http, string id, SaddleRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var before = await RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, before.Version);
        if (Ids.Canonical(request.YardId) != before.YardId)
            throw ProblemException.Impossible("/yardId", "A saddle stays with its yard. Register it anew in the other one.");
        var after = (request with { YardId = before.YardId }).ToRow(before.Id, before.Version, before.CreatedAt);
        await RefuseTreelessWithShapeAsync(session, after);
        if (!await SaddleStore.ChangeAsync(session, after))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, before.Id);
        await AuditStore.NoteChangeAsync(session, "saddle", before.Id, AuditChanges.Between(SaddleAnswer.Of(before), SaddleAnswer.Of(after)));
        return Answer.Ok(SaddleAnswer.Of(after), after.Version + 1);
    });

    // Else the fit would go on being judged against a tree that is not there.
    private static async Task RefuseTreelessWithShapeAsync(WriteSession session, SaddleRow after)
    {
        if (after.Tree == Words.Write(TreeKind.Treeless) && await SaddleStore.TreeShapesAsync(session, [after.Id]) is [var shape, ..])
            throw new ProblemException(ProblemKind.Conflict, $"A tree shape is recorded for this saddle from {shape.FromDay} on. Void it first (POST /v1/tree-shapes/{shape.Id}/void) if the saddle has no tree.");
    }

    /// <summary>The saddle, where the caller may see it.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<SaddleRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await SaddleStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("saddle", id);
}
