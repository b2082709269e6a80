using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Calibration;

/// <summary>How past forecasts of a yard did.</summary>
internal static class CalibrationEndpoints
{
    public static void MapCalibration(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/v1/yards/{id}/calibration", GetAsync).WithTags("Yards").Needs(Scope.Read)
            .Computes<CalibrationAnswer>("Every past forecast of a yard's horses held against what was then measured");

    private static async Task<IResult> GetAsync(
        string id, QueryDay? asOf, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await YardEndpoints.RequireAsync(session, caller, id);
        var day = asOf?.Day ?? YardTime.Day(yard.TimeZone, clock.GetUtcNow());
        var tally = await CalibrationRun.OfAsync(session, yard.Id, day, policy, cancel);
        return Results.Json(CalibrationAnswer.Of(tally, day, await PriorsInUse.ModelAsync(session, DateOnly.MaxValue)), Json.Options);
    }
}
