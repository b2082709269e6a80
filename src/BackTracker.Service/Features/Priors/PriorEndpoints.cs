using BackTracker.Engine.Trends;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Priors;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Priors;

/// <summary>What trends assume before they see a horse, learned over the horses of all yards.</summary>
internal static class PriorEndpoints
{
    public static void MapPriors(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/v1/priors", InUseAsync).WithTags("Priors").Needs(Scope.Read).Computes<PriorsAnswer>("The priors that trends go by, and where they come from");
        routes.MapGet("/v1/priors/{id}", GetAsync).WithTags("Priors").Needs(Scope.Read).Gets<PriorRoundAnswer>("Get what was learned over horses in one round");
    }

    private static async Task<IResult> InUseAsync(QueryDay? asOf, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var day = asOf?.Day ?? DateOnly.FromDateTime(clock.GetUtcNow().UtcDateTime);
        var round = await PriorStore.LatestIdAsync(session, Instants.WriteDay(day)) is { } id ? PriorRoundAnswer.Of((await PriorStore.FindAsync(session, id))!) : null;
        return Json.Answer(new PriorsAnswer(day, round?.ModelVersion ?? TrendModel.Shipped.Version, TrendModel.Shipped.Version, round?.Text ?? PriorWords.Shipped, round));
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await PriorStore.FindAsync(session, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("round of learning", id);
        return Conditional.Ok(http, PriorRoundAnswer.Of(row), 1);
    }
}
