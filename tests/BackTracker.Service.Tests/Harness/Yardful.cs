using System.Globalization;
using System.Net;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A small invented yard with one of everything, made over the API.</summary>
internal sealed class Yardful
{
    private readonly RunningService _service;

    private Yardful(RunningService service) => _service = service;

    public string YardId { get; private init; } = "";

    public string ManagerId { get; private init; } = "";

    public string FitterId { get; private init; } = "";

    public string VetId { get; private init; } = "";

    public string HorseId { get; private init; } = "";

    public string SaddleId { get; private init; } = "";

    public string PairingId { get; private init; } = "";

    /// <summary>Today in the yard, which keeps UTC.</summary>
    public DateOnly Today => DateOnly.FromDateTime(_service.Clock.GetUtcNow().UtcDateTime);

    /// <summary>Registers a yard, its people, a mature horse in steady work, and a saddle whose tree is 320 mm at T8, T13 and T18.</summary>
    public static async Task<Yardful> SettleAsync(RunningService service, string name = "Larkfield")
    {
        var api = service.Admin;
        var yardId = await api.MakeAsync("/v1/yards", new { name, timeZone = "UTC" });
        var today = DateOnly.FromDateTime(service.Clock.GetUtcNow().UtcDateTime).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        Task<string> Person(string who, string role) => api.MakeAsync("/v1/people", new { name = who, role, yardIds = new[] { yardId } });
        var horseId = await api.MakeAsync("/v1/horses", new { yardId, name = "Bramble", bornOn = "2014-05-01" });
        await api.PostAsync($"/v1/horses/{horseId}/phases", new { phase = "steady", from = today });
        var saddleId = await api.MakeAsync("/v1/saddles", new { yardId, label = "Bramble's saddle", tree = "adjustable", filling = "wool" });
        (await api.PostAsync($"/v1/saddles/{saddleId}/tree-shapes", new { from = today, stations = new[] { new { station = "T13", width150Mm = 320 } } })).Should(HttpStatusCode.Created);
        return new Yardful(service)
        {
            YardId = yardId,
            ManagerId = await Person("Isla Brook", "yard-manager"),
            FitterId = await Person("Morwen Hale", "fitter"),
            VetId = await Person("Anna Keld", "vet"),
            HorseId = horseId,
            SaddleId = saddleId,
            PairingId = await api.MakeAsync("/v1/pairings", new { horseId, saddleId, from = today, weeklyMinutes = 240 }),
        };
    }

    /// <summary>Measures T13 at 150 mm, now, before work, with two repeats.</summary>
    public async Task<string> MeasureAsync(double widthMm)
    {
        var reply = await _service.Admin.PostAsync($"/v1/horses/{HorseId}/measurements", new
        {
            measuredAt = _service.Clock.GetUtcNow(),
            measuredBy = ManagerId,
            method = "flexible-curve",
            exercise = "before",
            widths = new[] { new { station = "T13", depthMm = 150, widthMm = widthMm - .5, repeat = 1 }, new { station = "T13", depthMm = 150, widthMm = widthMm + .5, repeat = 2 } },
        });
        return reply.Should(HttpStatusCode.Created)["id"]!.GetValue<string>();
    }

    /// <summary>Spread of the forecast of T13 some days ahead, mm.</summary>
    public async Task<double> SdAheadAsync(int days)
    {
        var trends = (await _service.Admin.GetAsync($"/v1/horses/{HorseId}/trends?metric=T13.width150&horizonDays={days}")).Should(HttpStatusCode.OK);
        return trends.Items[0]!["forecast"]![days - 1]!["sd"]!.GetValue<double>();
    }

    /// <summary>A client with a new key for this yard, used by a person or by nobody.</summary>
    public async Task<ApiClient> KeyOfAsync(string? personId, params string[] scopes)
    {
        var made = (await _service.Admin.PostAsync("/v1/keys", new { name = "test", scopes, yardIds = new[] { YardId }, personId })).Should(HttpStatusCode.Created);
        return _service.ClientFor(made["secret"]!.GetValue<string>());
    }
}
