using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Delivery;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Hosting;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A yard whose measurements webhooks on loopback are told of. Nothing is sent before the test says so.</summary>
internal sealed class WebhookYard : IAsyncDisposable
{
    private int _minutes;

    private WebhookYard(RunningService service) => Service = service;

    public RunningService Service { get; }

    public ApiClient Admin => Service.Admin;

    public string YardId { get; private set; } = "";

    public string PersonId { get; private set; } = "";

    public static async Task<WebhookYard> StartAsync(StoreKind store = StoreKind.Sqlite, string allowHosts = "127.0.0.1", MailSettings? mail = null)
    {
        var yard = new WebhookYard(await RunningService.StartAsync(store, role: ServiceRole.Api, settings: new Settings { Delivery = new() { AllowHosts = allowHosts }, Mail = mail ?? new() }));
        yard.YardId = await yard.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        yard.PersonId = await yard.Admin.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yard.YardId } });
        return yard;
    }

    public Task<string> HorseAsync(string name = "Bramble") => Admin.MakeAsync("/v1/horses", new { yardId = YardId, name });

    /// <summary>Subscribes an address; its id and secret.</summary>
    public async Task<(string Path, string Secret)> SubscribeAsync(string url, params string[] events)
    {
        var made = (await Admin.PostAsync("/v1/subscriptions", new { url, events, yardIds = new[] { YardId } })).Should(HttpStatusCode.Created);
        return ($"/v1/subscriptions/{made["id"]}", made["secret"]!.GetValue<string>());
    }

    /// <summary>Weighs a horse, which is one event.</summary>
    public Task<string> WeighAsync(string horseId) => Admin.MakeAsync($"/v1/horses/{horseId}/measurements", new
    {
        measuredAt = Service.Clock.GetUtcNow().AddMinutes(-(++_minutes)),
        measuredBy = PersonId,
        method = "tape",
        exercise = "before",
        weightKg = 500,
    });

    /// <summary>Sends what is due until nothing is.</summary>
    public async Task PumpAsync()
    {
        var pump = Service.Services.GetRequiredService<Pump>();
        while (await pump.StartDueAsync(TestContext.Current.CancellationToken) is { Count: > 0 } lanes)
            await Task.WhenAll(lanes);
    }

    public Task PassAsync(TimeSpan time)
    {
        Service.Clock.Advance(time);
        return PumpAsync();
    }

    public async Task<IReadOnlyList<JsonNode>> DeliveriesAsync(string subscription) =>
        [.. (await Admin.GetAsync($"{subscription}/deliveries?limit=500")).Should(HttpStatusCode.OK).Items.OfType<JsonNode>()];

    /// <summary>State, tries and last status of every delivery, in order.</summary>
    public async Task<IReadOnlyList<string>> StatesAsync(string subscription) =>
        [.. (await DeliveriesAsync(subscription)).Select(d => string.Create(CultureInfo.InvariantCulture, $"{d["state"]} {d["attempts"]} {d["lastStatus"]?.ToString() ?? "-"}"))];

    public ValueTask DisposeAsync() => Service.DisposeAsync();
}
