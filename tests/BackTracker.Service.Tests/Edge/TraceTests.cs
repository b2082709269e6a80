using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Edge;

public sealed class TraceTests
{
    private const string TraceId = "4bf92f3577b34da6a3ce929d0e0e4736";
    private static readonly (string Name, string Value) Sent = ("traceparent", $"00-{TraceId}-00f067aa0ba902b7-01");

    [Fact]
    public async Task Problem_namesTheTraceOfItsCaller()
    {
        await using var service = await RunningService.StartAsync();

        Assert.Equal(TraceId, (await service.Admin.GetAsync("/v1/yards/nothing", Sent))["traceId"]!.GetValue<string>());
        Assert.Matches("^[0-9a-f]{32}$", (await service.Admin.GetAsync("/v1/yards/nothing"))["traceId"]!.GetValue<string>());
        Assert.NotEqual(TraceId, (await service.Admin.GetAsync("/v1/yards/nothing", ("traceparent", "00-nonsense")))["traceId"]!.GetValue<string>());
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Webhook_carriesTheTraceOfTheRequestThatBroughtItAbout(StoreKind store)
    {
        await using var receiver = await Receiver.StartAsync();
        await using var yard = await WebhookYard.StartAsync(store);
        await yard.SubscribeAsync(receiver.Url, "backtracker.measurement.recorded.v1");
        var horseId = await yard.HorseAsync();

        (await yard.Admin.PostAsync($"/v1/horses/{horseId}/measurements", new { measuredAt = "2026-11-24T09:00:00Z", measuredBy = yard.PersonId, method = "tape", exercise = "before", weightKg = 500 }, Sent)).Should(HttpStatusCode.Created);
        await yard.PumpAsync();

        Assert.StartsWith($"00-{TraceId}-", receiver.Received.Single().Headers["traceparent"], StringComparison.Ordinal);
    }
}
