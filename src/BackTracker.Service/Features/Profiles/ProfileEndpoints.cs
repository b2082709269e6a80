using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Sections;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Profiles;

/// <summary>Cross-sections of a horse's back on any day.</summary>
internal static class ProfileEndpoints
{
    // Half way between two of the usual stations: what is further off is near none.
    private const double NearMm = 120;

    public static void MapProfiles(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/v1/horses/{id}/profiles", GetAsync).WithTags("Profiles").Needs(Scope.Read)
            .Computes<ProfilesAnswer>("Expected cross-section of each station on a day, beside the last traces");

    private static async Task<IResult> GetAsync(
        string id, QueryDay? on, QueryDay? asOf, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var known = await KnownHorse.LoadAsync(session, horse.Id, asOf, clock, policy);
        var (trends, day) = (known.Trends, on?.Day ?? known.AsOf);
        var sections = ExpectedSection.AllOn(trends.Back, day);
        List<SessionFact> latestFirst = [.. SeriesBuilder.Trended(trends.Facts).Reverse()];
        Station[] stations = [.. latestFirst.SelectMany(StationsOf).Distinct().Order()];
        var items = new List<ProfileAnswer>();
        foreach (var station in stations)
        {
            var last = await LastAsync(session, latestFirst.First(s => StationsOf(s).Contains(station)), station);
            items.Add(Item(station, sections.FirstOrDefault(s => s.Station == station), trends.Back.Outline, last));
        }
        return Json.Answer(
            new ProfilesAnswer(known.AsOf, day, items, ToplineOf(trends, latestFirst, day), ProfileWords.Missing(sections, stations, trends.Back.Outline)));
    }

    private static IEnumerable<Station> StationsOf(SessionFact session) => session.Readings.Select(r => r.Metric.Station).OfType<Station>();

    private static ProfileAnswer Item(Station station, ExpectedSection? expected, Outline outline, LastSectionAnswer last) => new(
        station.ToString(), outline.PositionsMm.TryGetValue(station, out var position) ? position : null,
        expected is null ? null : ExpectedAnswer.Of(expected), last);

    private static async Task<LastSectionAnswer> LastAsync(ReadSession session, SessionFact fact, Station station)
    {
        var row = await MeasurementStore.FindAsync(session, Sight.All, fact.Id) ?? throw new InvalidOperationException($"Measurement {fact.Id} is not there.");
        var values = Json.Read<MeasuredValues>(row.Body);
        var traces = MeasurementFacts.Sections(values).Where(trace => trace.Station == station).ToList();
        var mean = traces.Count > 0 ? PolarMean.Of([.. traces.Select(trace => trace.Section)]) : null;
        return new LastSectionAnswer(
            row.Id, fact.On, traces.Count, [.. (mean?.Points ?? []).Select(ProfilesAnswer.Pair)],
            traces.Count > 1 ? [.. mean!.SdMm.Select(sd => Math.Round(sd, 3))] : null,
            [.. DerivedValues.Of(values).Where(value => value.Metric.StartsWith($"{station}.", StringComparison.Ordinal))],
            TraceAdvice.Of(traces));
    }

    private static ToplineAnswer? ToplineOf(HorseTrends trends, List<SessionFact> latestFirst, DateOnly day)
    {
        if (!trends.TryGet(new Metric(Quantity.Dip), out var dip))
            return null;
        var last = latestFirst.First(s => s.Topline.Count > 0);
        var topline = Topline.Of(last.Topline);
        var near = trends.Back.Outline.PositionsMm
            .Where(place => Math.Abs(place.Value - topline.DeepestAtMm) <= NearMm)
            .OrderBy(place => Math.Abs(place.Value - topline.DeepestAtMm))
            .Select(place => place.Key.ToString())
            .FirstOrDefault();
        return ProfilesAnswer.ToplineOf(dip, topline, last.On, near, day);
    }
}
