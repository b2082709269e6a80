using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Fit;

/// <summary>Tree against back on any day, and when it leaves tolerance.</summary>
internal static class FitEndpoints
{
    public static void MapFit(this IEndpointRouteBuilder routes)
    {
        var pairing = routes.MapGroup("/v1/pairings/{id}").WithTags("Fit");
        pairing.MapGet("/fit", FitAsync).Needs(Scope.Read).Computes<FitAnswer>("Tree against back on a day");
        pairing.MapGet("/forecast", ForecastAsync).Needs(Scope.Read).Computes<PairingForecastAnswer>("Probability of being out of tolerance on and by each day");
    }

    private static async Task<IResult> FitAsync(
        string id, QueryDay? on, QueryDay? asOf, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var known = await KnownAsync(id, asOf, caller, database, clock, policy, cancel);
        var day = on?.Day ?? known.AsOf;
        var findings = known.Pairing is { } pairing ? WidthFit.On(pairing, known.Trends, policy, day) : [];
        IReadOnlyList<string> missing = known.Pairing is { } p ? WidthFit.Missing(p, findings) : ["The saddle was not yet used on the horse on that day."];
        var signs = known.Trends.Facts.Observations.Any(o => Signs.IsVetFirst(o, policy) && !Signs.IsClosed(o, policy));
        return Results.Json(
            new FitAnswer(id, known.AsOf, day, [.. findings.Select(FindingDocument.Of)], missing, signs ? [.. Cautions.VetFirst, .. Cautions.ForFit] : Cautions.ForFit),
            Json.Options);
    }

    private static async Task<IResult> ForecastAsync(
        string id, QueryDay? asOf, int? horizonDays, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var horizon = horizonDays ?? TrendEndpoints.LongestHorizonDays;
        if (horizon is < 1 or > TrendEndpoints.LongestHorizonDays)
            throw new ProblemException(ProblemKind.BadQuery, $"horizonDays is a number from 1 to {TrendEndpoints.LongestHorizonDays}.");
        var known = await KnownAsync(id, asOf, caller, database, clock, policy, cancel);
        var made = known.Pairing is { } pairing && PairingForecast.TryMake(pairing, known.Trends, policy with { HorizonDays = horizon }, known.AsOf, out var forecast)
            ? PairingForecastAnswer.Of(id, forecast, known.AsOf)
            : PairingForecastAnswer.None(id, known.AsOf, known.Pairing is { } p ? WidthFit.Missing(p, WidthFit.On(p, known.Trends, policy, known.AsOf)) : ["The saddle was not yet used on the horse on that day."]);
        return Results.Json(made, Json.Options);
    }

    private static async Task<Known> KnownAsync(
        string id, QueryDay? asOf, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await PairingEndpoints.RequireAsync(session, caller, id);
        var loaded = await HorseFactsLoader.LoadAsync(session, row.HorseId, policy);
        var day = asOf?.Day ?? YardTime.Day(loaded.TimeZone, clock.GetUtcNow());
        var facts = loaded.Facts.AsOf(day);
        var pairing = facts.Pairings.FirstOrDefault(p => p.Id == row.Id);
        // What was flagged lately says nothing of an earlier day.
        return new Known(day, new HorseTrends(facts, TrendModel.Shipped), asOf is null ? pairing : pairing is null ? null : pairing with { LastSeverities = NoSeverities });
    }

    private static readonly Dictionary<string, Severity> NoSeverities = [];

    /// <summary>What was known on a day; no pairing where it had not begun.</summary>
    private sealed record Known(DateOnly AsOf, HorseTrends Trends, PairingFact? Pairing);
}
