using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A yard with one grown horse in steady work that is measured by traces, and a saddle whose tree is known by its sides.</summary>
internal sealed class TracedYard
{
    private readonly RunningService _service;

    private TracedYard(RunningService service) => _service = service;

    public string YardId { get; private init; } = "";

    public string ManagerId { get; private init; } = "";

    public string FitterId { get; private init; } = "";

    public string HorseId { get; private init; } = "";

    public string SaddleId { get; private init; } = "";

    public string PairingId { get; private init; } = "";

    /// <summary>Today in the yard, which keeps UTC.</summary>
    public DateOnly Today => DateOnly.FromDateTime(_service.Clock.GetUtcNow().UtcDateTime);

    public string TodayText => Text(Today);

    /// <param name="service">The service.</param>
    /// <param name="tree">Shape of the tree; one that follows the back unless said.</param>
    /// <param name="kind">Kind of the tree.</param>
    /// <param name="frontMm">Where the tree's front edge lies behind T8; null where nobody measured it.</param>
    public static async Task<TracedYard> SettleAsync(RunningService service, object? tree = null, string kind = "adjustable", double? frontMm = TracedBack.FrontMm)
    {
        var api = service.Admin;
        var today = DateOnly.FromDateTime(service.Clock.GetUtcNow().UtcDateTime);
        var yardId = await api.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        Task<string> Person(string who, string role) => api.MakeAsync("/v1/people", new { name = who, role, yardIds = new[] { yardId } });
        var horseId = await api.MakeAsync("/v1/horses", new { yardId, name = "Sorrel", bornOn = "2014-05-01" });
        (await api.PostAsync($"/v1/horses/{horseId}/phases", new { phase = "steady", from = Text(today.AddDays(-400)) })).Should(HttpStatusCode.Created);
        var saddleId = await api.MakeAsync("/v1/saddles", new { yardId, label = "Sorrel's saddle", tree = kind, filling = "wool" });
        if (kind != "treeless")
            (await api.PostAsync($"/v1/saddles/{saddleId}/tree-shapes", tree ?? TracedBack.Tree(Text(today)))).Should(HttpStatusCode.Created);
        return new TracedYard(service)
        {
            YardId = yardId,
            ManagerId = await Person("Isla Brook", "yard-manager"),
            FitterId = await Person("Morwen Hale", "fitter"),
            HorseId = horseId,
            SaddleId = saddleId,
            PairingId = await api.MakeAsync("/v1/pairings", new { horseId, saddleId, from = Text(today), treeFrontFromT8Mm = frontMm, weeklyMinutes = 240, riderWeightKg = 60, tackWeightKg = 8 }),
        };
    }

    /// <summary>Measures the back, now.</summary>
    public async Task<Reply> MeasureAsync(TracedBack? back = null) =>
        (await _service.Admin.PostAsync($"/v1/horses/{HorseId}/measurements", (back ?? new()).Session(_service.Clock.GetUtcNow(), ManagerId))).Should(HttpStatusCode.Created);

    /// <summary>Measures the same back every four weeks, the last time today.</summary>
    public async Task MeasureOftenAsync(int sessions, Func<int, TracedBack> back)
    {
        for (var i = 0; i < sessions; i++)
        {
            var at = _service.Clock.GetUtcNow().AddDays(-28 * (sessions - 1 - i));
            (await _service.Admin.PostAsync($"/v1/horses/{HorseId}/measurements", back(i).Session(at, ManagerId))).Should(HttpStatusCode.Created);
        }
    }

    public async Task<Reply> FitAsync(string query = "") => (await _service.Admin.GetAsync($"/v1/pairings/{PairingId}/fit{query}")).Should(HttpStatusCode.OK);

    public async Task<Reply> ForecastAsync(string query = "") => (await _service.Admin.GetAsync($"/v1/pairings/{PairingId}/forecast{query}")).Should(HttpStatusCode.OK);

    public async Task<Reply> ProfilesAsync(string query = "") => (await _service.Admin.GetAsync($"/v1/horses/{HorseId}/profiles{query}")).Should(HttpStatusCode.OK);

    /// <summary>A finding of an answer by its key.</summary>
    public static JsonNode Finding(Reply fit, string key) =>
        fit["findings"]!.AsArray().Single(finding => finding!["key"]!.GetValue<string>() == key)!;

    public static string Text(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
