using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Visits;

namespace BackTracker.Service.Features.Visits;

/// <summary>Visits: several checks of a yard on one day by one person.</summary>
internal static class VisitEndpoints
{
    public static void MapVisits(this IEndpointRouteBuilder routes)
    {
        var visits = routes.MapGroup("/v1/visits").WithTags("Visits");
        visits.MapPost("/", PlanAsync).Needs(Scope.Manage, Scope.Fit).Creates<VisitAnswer>("Plan a visit and book its checks, all or none").Refuses(ProblemKind.Stale);
        visits.MapGet("/", ListAsync).Needs(Scope.Read).Lists<VisitAnswer>("List visits");
        visits.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<VisitAnswer>("Get a visit with its checks");
        visits.MapPost("/{id}/add", AddAsync).Needs(VisitSteps.Needs(VisitStep.Add)).Moves<VisitAnswer>("Book more checks for a visit");
        visits.MapPost("/{id}/move", MoveAsync).Needs(VisitSteps.Needs(VisitStep.Move)).Moves<VisitAnswer>("Move a visit with all its checks to another day");
        visits.MapPost("/{id}/fall-through", FallThroughAsync).Needs(VisitSteps.Needs(VisitStep.FallThrough)).Moves<VisitAnswer>("A visit falls through: its checks are open again");
        visits.MapPost("/{id}/complete", CompleteAsync).Needs(VisitSteps.Needs(VisitStep.Complete)).Moves<VisitAnswer>("Report a visit: what was done of every check, or why it was not");
        routes.MapGroup("/v1/yards/{id}").WithTags("Visits").MapGet("/visit-proposals", ProposeAsync).Needs(Scope.Read)
            .Computes<ListAnswer<VisitProposalAnswer>>("Which open checks of a yard go together in one visit, and on which day");
    }

    public static Task<IResult> PlanAsync(HttpContext http, VisitRequest request, Caller caller, VisitLife life) => life.PlanAsync(http, request, caller);

    public static Task<IResult> AddAsync(HttpContext http, string id, AddToVisitRequest request, Caller caller, VisitLife life) => life.AddAsync(http, id, request, caller);

    public static Task<IResult> MoveAsync(HttpContext http, string id, MoveVisitRequest request, Caller caller, VisitLife life) => life.MoveAsync(http, id, request, caller);

    public static Task<IResult> FallThroughAsync(HttpContext http, string id, ReasonRequest request, Caller caller, VisitLife life) => life.FallThroughAsync(http, id, request, caller);

    public static Task<IResult> CompleteAsync(HttpContext http, string id, CompleteVisitRequest request, Caller caller, VisitLife life) => life.CompleteAsync(http, id, request, caller);

    /// <summary>The visit, where the caller may see its yard.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<VisitRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await VisitStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("visit", id);

    private static async Task<IResult> ListAsync(
        HttpContext http, Caller caller, Database database, string? yardId, string? fitterId, [WordsOf(typeof(VisitState))] string? state, QueryDay? from, QueryDay? to, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var filter = new VisitFilter(
            yardId is null ? null : (await YardEndpoints.RequireAsync(session, caller, yardId)).Id,
            fitterId is null ? null : (await PersonEndpoints.RequireAsync(session, caller, fitterId)).Id,
            QueryWord.Check<VisitState>(nameof(state), state), Text(from), Text(to));
        var visits = await VisitStore.ListAsync(session, caller.Sight, filter, Paging.Of(http));
        var checks = await CheckStore.OfVisitsAsync(session, [.. visits.Items.Select(visit => visit.Id)]);
        return Paging.List(http, visits, visit => VisitAnswer.Of(visit, checks));
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var visit = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, await VisitAnswer.OfAsync(session, visit), visit.Version);
    }

    private static async Task<IResult> ProposeAsync(
        string id, string? fitterId, Caller caller, Database database, VisitProposals proposals, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        var fitter = fitterId is null ? null : await PersonEndpoints.RequireAsync(session, caller, fitterId);
        return Json.Answer(new ListAnswer<VisitProposalAnswer>(await proposals.OfAsync(session, yard, fitter), null));
    }

    private static string? Text(QueryDay? day) => day is { } given ? Instants.WriteDay(given.Day) : null;
}
