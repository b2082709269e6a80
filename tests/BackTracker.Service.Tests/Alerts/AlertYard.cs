using System.Globalization;
using System.Net;
using System.Text.Json;
using System.Text.Json.Nodes;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Subscriptions;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Alerts;

/// <summary>A letter that was written.</summary>
/// <param name="At">When, UTC.</param>
/// <param name="YardId">Of which yard.</param>
/// <param name="Occasion">On what occasion.</param>
/// <param name="Body">What it says.</param>
internal sealed record WrittenLetter(DateTimeOffset At, string YardId, string Occasion, JsonNode Body)
{
    /// <summary>"raised saddle-sign", line by line.</summary>
    public IEnumerable<string> Lines => Body["lines"]!.AsArray().Select(line => $"{line!["news"]} {line["cause"]}");
}

/// <summary>A yard with a measured horse in a saddle that fits, whose people can be told; time passes when the test says so.</summary>
internal sealed class AlertYard
{
    private AlertYard(RunningService service) => Service = service;

    public RunningService Service { get; }

    public ApiClient Admin => Service.Admin;

    public required string Zone { get; init; }

    public required string YardId { get; init; }

    public string HorseId { get; private set; } = "";

    public string ManagerId { get; private set; } = "";

    public string FitterId { get; private set; } = "";

    public string OwnerId { get; private set; } = "";

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public static Task<RunningService> StartAsync(StoreKind store = StoreKind.Sqlite, string now = "2026-11-25T09:00:00Z") =>
        RunningService.StartAsync(store, now, ServiceRole.Api);

    public static async Task<AlertYard> SettleAsync(RunningService service, string zone = "UTC", string name = "Larkfield")
    {
        var yard = new AlertYard(service) { Zone = zone, YardId = await service.YardAsync(name, zone) };
        (yard.ManagerId, yard.FitterId, yard.OwnerId) = (await yard.PersonAsync("Ada Finch", "yard-manager"), await yard.PersonAsync("Morwen Hale", "fitter"), await yard.PersonAsync("Rhys Penn", "owner"));
        yard.HorseId = await yard.HorseAsync("Bramble");
        return yard;
    }

    /// <summary>Another horse, measured now, in a saddle that fits.</summary>
    public async Task<string> HorseAsync(string name)
    {
        var horseId = await Admin.MakeAsync("/v1/horses", new { yardId = YardId, name, bornOn = "2014-05-01" });
        var today = Day(0);
        (await Admin.PostAsync($"/v1/horses/{horseId}/phases", new { phase = "steady", from = today })).Should(HttpStatusCode.Created);
        var saddleId = await Admin.MakeAsync("/v1/saddles", new { yardId = YardId, label = $"{name}'s saddle", tree = "adjustable", filling = "wool" });
        (await Admin.PostAsync($"/v1/saddles/{saddleId}/tree-shapes", new { from = today, stations = new[] { new { station = "T13", width150Mm = 320 } } })).Should(HttpStatusCode.Created);
        await Admin.MakeAsync("/v1/pairings", new { horseId, saddleId, from = today, weeklyMinutes = 240 });
        await MeasureAsync(318, horseId);
        await AssessAsync();
        return horseId;
    }

    public Task<string> PersonAsync(string name, string role) => Admin.MakeAsync("/v1/people", new { name, role, yardIds = new[] { YardId } });

    /// <summary>A confirmed mail address of somebody, or of nobody in particular.</summary>
    public Task<string> SubscribeAsync(string? personId, params string[] events) => SubscribeAsync([YardId], personId, events);

    public async Task<string> SubscribeAsync(IReadOnlyList<string> yardIds, string? personId, params string[] events)
    {
        await using var session = await Service.Database.WriteAsync("test", Cancel);
        var id = session.NewId();
        await SubscriptionStore.AddAsync(session, new SubscriptionRow
        {
            Id = id,
            Channel = "mail",
            Email = $"{id}@example.org",
            PersonId = personId,
            Events = JsonSerializer.Serialize(events),
            Yards = string.Join(',', yardIds),
            CreatedAt = session.NowText,
        });
        await SubscriptionStore.ConfirmAsync(session, id);
        await session.CommitAsync();
        return id;
    }

    public async Task SeeAsync(string kind, string? horseId = null)
    {
        await Admin.MakeAsync($"/v1/horses/{horseId ?? HorseId}/observations", new { observedOn = Day(0), kind, note = "Seen." });
        await AssessAsync();
    }

    public Task MeasureAsync(double widthMm, string? horseId = null) => Admin.MakeAsync($"/v1/horses/{horseId ?? HorseId}/measurements", new
    {
        measuredAt = Service.Clock.GetUtcNow(),
        measuredBy = ManagerId,
        method = "calliper",
        exercise = "before",
        widths = new[] { new { station = "T13", depthMm = 150, widthMm } },
    });

    public Task AssessAsync() => Service.Services.GetRequiredService<Assessor>().DrainAsync(Cancel);

    /// <summary>Sets the clock and does what the jobs would do then.</summary>
    public Task AtAsync(string now)
    {
        Service.Clock.AdjustTime(DateTimeOffset.Parse(now, CultureInfo.InvariantCulture));
        return WorkAsync();
    }

    /// <summary>Does what the jobs would do now; returns for how many yards the day's letters were written.</summary>
    public async Task<int> WorkAsync()
    {
        await Service.Services.GetRequiredService<NightlyRound>().RunAsync(Cancel);
        await AssessAsync();
        await Service.Services.GetRequiredService<MorningRound>().RunAsync(Cancel);
        return await Service.Services.GetRequiredService<DigestRound>().RunAsync(Cancel);
    }

    /// <summary>Lets time pass, looking every quarter of an hour as the jobs do.</summary>
    public async Task LiveAsync(TimeSpan span)
    {
        for (var left = span; left > TimeSpan.Zero; left -= TimeSpan.FromMinutes(15))
        {
            Service.Clock.Advance(TimeSpan.FromMinutes(15));
            await WorkAsync();
        }
    }

    public async Task<IReadOnlyList<WrittenLetter>> LettersAsync(string subscriptionId)
    {
        await using var session = await Service.Database.ReadAsync(Cancel);
        return [.. (await MessageStore.ListAsync(session, subscriptionId, new Page("", 10_000))).Items.Select(row =>
            new WrittenLetter(Instants.Read(row.CreatedAt), row.YardId!, row.Occasion, JsonNode.Parse(row.Body)!))];
    }

    /// <summary>The one alert of a cause.</summary>
    public async Task<JsonNode> AlertAsync(string cause) =>
        Assert.Single((await Admin.GetAsync($"/v1/alerts?yardId={YardId}")).Should(HttpStatusCode.OK).Items, alert => alert!["cause"]!.GetValue<string>() == cause)!;

    /// <summary>What was decided about an alert for a receiver: "told: new, at once".</summary>
    public async Task<IEnumerable<string>> DecisionsAsync(JsonNode alert, string subscriptionId) =>
        (await Admin.GetAsync($"/v1/alerts/{alert["id"]}/decisions?limit=500")).Should(HttpStatusCode.OK).Items
            .Where(decision => decision!["subscriptionId"]!.GetValue<string>() == subscriptionId).Select(decision => $"{decision!["verdict"]}: {decision["reason"]}");

    public async Task<Reply> AcknowledgeAsync(JsonNode alert, ApiClient? by = null)
    {
        var path = $"/v1/alerts/{alert["id"]}";
        return await (by ?? Admin).PostAsync($"{path}/acknowledge", new { note = "Seen to." }, ("If-Match", (await Admin.GetAsync(path)).Etag));
    }

    /// <summary>The open check of a kind, moved on.</summary>
    public async Task MoveCheckAsync(string kind, string action, object body, string? horseId = null)
    {
        var check = (await Admin.GetAsync($"/v1/checks?horseId={horseId ?? HorseId}")).Items.Last(c => c!["kind"]!.GetValue<string>() == kind)!;
        var path = $"/v1/checks/{check["id"]}";
        (await Admin.PostAsync($"{path}/{action}", body, ("If-Match", (await Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);
        await AssessAsync();
    }

    /// <summary>A day counted from today in the yard.</summary>
    public string Day(int daysAhead) => TimeZoneInfo.ConvertTime(Service.Clock.GetUtcNow(), TimeZoneInfo.FindSystemTimeZoneById(Zone))
        .AddDays(daysAhead).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
