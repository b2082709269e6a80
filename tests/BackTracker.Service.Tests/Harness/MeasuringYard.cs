using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A yard with one horse and one fitter, another yard beside it, and keys of every kind that records things.</summary>
internal sealed class MeasuringYard : IAsyncDisposable
{
    public static readonly string Trace = new Drawing().Points;

    private MeasuringYard(RunningService service) => Service = service;

    public RunningService Service { get; }

    public ApiClient Admin => Service.Admin;

    public string YardId { get; private set; } = "";

    public string HorseId { get; private set; } = "";

    public string OtherHorseId { get; private set; } = "";

    public string FitterId { get; private set; } = "";

    public string VetId { get; private set; } = "";

    public ApiClient Recorder { get; private set; } = null!;

    public ApiClient Reader { get; private set; } = null!;

    public ApiClient Manager { get; private set; } = null!;

    public ApiClient Stranger { get; private set; } = null!;

    public string Measurements => $"/v1/horses/{HorseId}/measurements";

    public string Observations => $"/v1/horses/{HorseId}/observations";

    public static async Task<MeasuringYard> StartAsync(StoreKind store = StoreKind.Sqlite)
    {
        var yard = new MeasuringYard(await RunningService.StartAsync(store, role: ServiceRole.Api));
        yard.YardId = await yard.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "America/Denver" });
        var other = await yard.Admin.MakeAsync("/v1/yards", new { name = "Valley", timeZone = "Europe/London" });
        yard.HorseId = await yard.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Bramble", bornOn = "2015-04-02" });
        yard.OtherHorseId = await yard.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Sorrel" });
        yard.FitterId = await yard.PersonAsync("fitter");
        yard.VetId = await yard.PersonAsync("vet");
        yard.Recorder = await yard.KeyAsync("record");
        yard.Reader = await yard.KeyAsync("read");
        yard.Manager = await yard.KeyAsync("manage");
        yard.Stranger = await yard.KeyAsync("record", yardId: other);
        return yard;
    }

    public Task<string> PersonAsync(string role) =>
        Admin.MakeAsync("/v1/people", new { name = $"A {role}", role, yardIds = new[] { YardId } });

    public async Task<ApiClient> KeyAsync(string scope, string? personId = null, string? yardId = null)
    {
        var made = await Admin.PostAsync("/v1/keys", new { name = "a test", scopes = new[] { scope }, yardIds = new[] { yardId ?? YardId }, personId });
        return Service.ClientFor(made.Should(HttpStatusCode.Created)["secret"]!.GetValue<string>());
    }

    /// <summary>A session of widths at T13, 150 mm down, before work; further members of the request may be given as JSON.</summary>
    public JsonObject Session(string measuredAt, double[] widths, string more = "{}")
    {
        var session = new JsonObject { ["measuredAt"] = measuredAt, ["measuredBy"] = FitterId, ["method"] = "arm-gauge", ["exercise"] = "before" };
        if (widths.Length > 0)
            session["widths"] = new JsonArray([.. widths.Select((w, i) => new JsonObject { ["station"] = "T13", ["depthMm"] = 150, ["widthMm"] = w, ["repeat"] = i + 1 })]);
        foreach (var (name, value) in JsonNode.Parse(more)!.AsObject())
            session[name] = value?.DeepClone();
        return session;
    }

    /// <summary>Records a session on each of several days and returns their ids.</summary>
    public async Task<IReadOnlyList<string>> RecordEveryFourWeeksAsync(DateOnly first, params double[] means)
    {
        var ids = new List<string>();
        foreach (var (i, mean) in means.Index())
        {
            var day = first.AddDays(28 * i).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
            ids.Add(await Recorder.MakeAsync(Measurements, Session($"{day}T15:00:00Z", [mean - 1, mean, mean + 1])));
        }
        return ids;
    }

    public async Task<int> CountAsync() => (await Admin.GetAsync(Measurements)).Items.Count;

    public ValueTask DisposeAsync() => Service.DisposeAsync();
}
