using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Pictures;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Trends;

/// <summary>Trends of a horse's metrics.</summary>
internal static class TrendEndpoints
{
    public const int DefaultHorizonDays = 84;
    public const int LongestHorizonDays = 365;

    public static void MapTrends(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/v1/horses/{id}/trends", GetAsync).WithTags("Trends").Needs(Scope.Read)
            .Computes<TrendsAnswer>("Level, speed and forecast of a horse's metrics, every day ahead");
        routes.MapGet("/v1/horses/{id}/trends.svg", DrawAsync).WithTags("Trends").Needs(Scope.Read)
            .Draws("Picture of one metric over time, with what is expected and what the tree tolerates; metric has to be named, width is in px");
    }

    private static async Task<IResult> GetAsync(
        string id, QueryDay? asOf, int? horizonDays, string? metric, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        var horizon = HorizonOf(horizonDays, DefaultHorizonDays);
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var (day, _, trends) = await KnownHorse.LoadAsync(session, horse.Id, asOf, clock, policy);
        var items = Metrics(trends.Facts, metric)
            .Select(m => trends.TryGet(m, out var trend) ? TrendAnswer.Of(trend, trends.Facts, day, horizon) : null)
            .OfType<TrendAnswer>();
        return Json.Answer(new TrendsAnswer(day, trends.Model.Version, [.. items], MuscleAnswer.Of(trends, metric is null ? null : Parse(metric))));
    }

    private static async Task<IResult> DrawAsync(
        string id, QueryDay? asOf, string? metric, int? width, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var (day, _, trends) = await KnownHorse.LoadAsync(session, horse.Id, asOf, clock, policy);
        var asked = Parse(metric ?? "");
        return trends.TryGet(asked, out var trend)
            ? PictureAnswer.Of(TrendPictures.Of(trends, trend, day, PictureAnswer.Frame(width)))
            : throw new ProblemException(ProblemKind.Impossible, $"Nothing was measured of {asked} before work up to {day:yyyy-MM-dd}. Measure it, or ask for another metric: GET /v1/horses/{id}/trends lists them.");
    }

    /// <summary>The days ahead asked for.</summary>
    /// <exception cref="ProblemException">They are fewer than one or more than a year.</exception>
    public static int HorizonOf(int? asked, int usual) => (asked ?? usual) is >= 1 and <= LongestHorizonDays and var horizon
        ? horizon
        : throw new ProblemException(ProblemKind.BadQuery, $"horizonDays is a number from 1 to {LongestHorizonDays}.");

    /// <summary>The metric asked for, or everything that was measured, widths first.</summary>
    private static IEnumerable<Metric> Metrics(HorseFacts facts, string? asked)
    {
        if (asked is not null)
            return [Parse(asked)];
        return facts.Sessions.SelectMany(s => s.Readings).Select(r => r.Metric).Distinct()
            .OrderBy(m => m.Quantity).ThenBy(m => m.Station).ThenBy(m => m.DepthMm);
    }

    /// <summary>A metric by its name.</summary>
    /// <exception cref="ProblemException">There is none such.</exception>
    public static Metric Parse(string asked) => Metric.TryParse(asked, out var metric)
        ? metric
        : throw new ProblemException(ProblemKind.BadQuery, $"'{asked}' is not a metric. Write it as T13.width150, T8.halfLeft30, girth or weight.");
}
