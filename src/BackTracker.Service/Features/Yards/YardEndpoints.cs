using BackTracker.Service.Features.Audit;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Yards;

/// <summary>Yards: where horses are kept.</summary>
internal static class YardEndpoints
{
    public static void MapYards(this IEndpointRouteBuilder routes)
    {
        var yards = routes.MapGroup("/v1/yards").WithTags("Yards");
        yards.MapPost("/", RegisterAsync).Needs(Scope.Admin).Creates<YardAnswer>("Register a yard");
        yards.MapGet("/", ListAsync).Needs(Scope.Read).Lists<YardAnswer>("List yards");
        yards.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<YardAnswer>("Get a yard");
        yards.MapPut("/{id}", ChangeAsync).Needs(Scope.Admin).Changes<YardAnswer>("Change a yard");
    }

    private static Task<IResult> RegisterAsync(HttpContext http, YardRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        if (caller.Sight.EveryYard == 0)
            throw new ProblemException(ProblemKind.WrongScope, "This key reaches some yards only and would not see a new one. A key that reaches every yard registers it.");
        var yard = request.ToRow(session.NewId(), 1, session.NowText);
        await YardStore.AddAsync(session, yard);
        await AuditStore.NoteAsync(session, "create", "yard", yard.Id);
        return Answer.Created($"/v1/yards/{yard.Id}", YardAnswer.Of(yard), yard.Version);
    });

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return Paging.List(http, await YardStore.ListAsync(session, caller.Sight, Paging.Of(http)), YardAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, YardAnswer.Of(yard), yard.Version);
    }

    private static Task<IResult> ChangeAsync(HttpContext http, string id, YardRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var before = await RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, before.Version);
        var after = request.ToRow(before.Id, before.Version, before.CreatedAt);
        if (!await YardStore.ChangeAsync(session, after))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorsesOfYardAsync(session, before.Id);
        await AuditStore.NoteChangeAsync(session, "yard", before.Id, AuditChanges.Between(YardAnswer.Of(before), YardAnswer.Of(after)));
        return Answer.Ok(YardAnswer.Of(after), after.Version + 1);
    });

    /// <summary>The yard, where the caller may see it.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<YardRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await YardStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("yard", id);
}
