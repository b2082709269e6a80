using System.Collections.Concurrent;
using System.Net;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace BackTracker.Service.Tests.Calendars;

/// <summary>Who gets the address of a calendar, how it ends, and where it must not be found.</summary>
public sealed class CalendarAddressTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Address_endsWithTheNextOne_orWhenItIsTakenAway(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await Yardful.SettleAsync(service);
        var first = await Subscriber.OfAsync(service, yard.FitterId);
        await first.TextAsync();

        var second = await Subscriber.OfAsync(service, yard.FitterId);
        await ShouldBeGoneAsync(first);
        await second.TextAsync();
        (await service.Admin.SendAsync(HttpMethod.Delete, $"/v1/people/{yard.FitterId}/calendar-token", null)).Should(HttpStatusCode.NoContent);
        await ShouldBeGoneAsync(second);
    }

    [Fact]
    public async Task Address_isMadeWithTheOwnKey_orByWhoManagesAllYardsOfThePerson()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, other) = (await Yardful.SettleAsync(service), await Yardful.SettleAsync(service, "Mill Bottom"));
        var both = await service.Admin.MakeAsync("/v1/people", new { name = "Ada Finch", role = "fitter", yardIds = new[] { yard.YardId, other.YardId } });
        string Path(string personId) => $"/v1/people/{personId}/calendar-token";
        var (manager, own, reader) = (await yard.KeyOfAsync(null, "manage"), await yard.KeyOfAsync(both, "read"), await yard.KeyOfAsync(yard.VetId, "read"));

        (await manager.PostAsync(Path(yard.FitterId))).Should(HttpStatusCode.OK);
        (await own.PostAsync(Path(both))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope"); // Their own, but of one yard.
        (await manager.PostAsync(Path(both))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await reader.PostAsync(Path(yard.FitterId))).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await manager.PostAsync(Path(other.FitterId))).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await reader.SendAsync(HttpMethod.Delete, Path(yard.FitterId), null)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
    }

    [Fact]
    public async Task AddressMadeByAManager_doesNotOpenAYardThePersonJoinsLater()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Visits.VisitingYard.SettleAsync(service);
        var nextDoor = await service.Admin.MakeAsync("/v1/yards", new { name = "Mill Bottom", timeZone = "UTC" });
        var personId = await service.Admin.MakeAsync("/v1/people", new { name = "Ada Finch", role = "fitter", yardIds = new[] { nextDoor } });
        var made = (await service.Admin.PostAsync("/v1/keys", new { name = "test", scopes = new[] { "manage" }, yardIds = new[] { nextDoor } })).Should(HttpStatusCode.Created);
        var address = (await service.ClientFor(made["secret"]!.GetValue<string>()).PostAsync($"/v1/people/{personId}/calendar-token")).Should(HttpStatusCode.OK)["url"]!.GetValue<string>();
        var theirs = await Subscriber.OfAsync(service, personId);
        address = (await service.ClientFor(made["secret"]!.GetValue<string>()).PostAsync($"/v1/people/{personId}/calendar-token"))["url"]!.GetValue<string>();

        await service.Admin.PutAsync($"/v1/people/{personId}", new { name = "Ada Finch", role = "fitter", yardIds = new[] { nextDoor, yard.Yard.YardId } }, ("If-Match", "*"));
        (await yard.ActAsync($"/v1/checks/{yard.Checks[0]}", "book", new { on = Visits.VisitingYard.Tomorrow, fitterId = personId })).Should(HttpStatusCode.OK);

        await ShouldBeGoneAsync(theirs);
        Assert.DoesNotContain("Bramble", await new Subscriber(new HttpClient(), address).TextAsync(), StringComparison.Ordinal);
        Assert.Contains("Bramble", await (await Subscriber.OfAsync(service, personId)).TextAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task PersonalKeyOfOneYard_opensNoOther_andEndsNoAddress()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Visits.VisitingYard.SettleAsync(service);
        var nextDoor = await service.Admin.MakeAsync("/v1/yards", new { name = "Mill Bottom", timeZone = "UTC" });
        var personId = await service.Admin.MakeAsync("/v1/people", new { name = "Ada Finch", role = "fitter", yardIds = new[] { nextDoor } });
        async Task<ApiClient> KeyAsync(params string[] yardIds) => service.ClientFor(
            (await service.Admin.PostAsync("/v1/keys", new { name = "own", scopes = new[] { "read" }, yardIds, personId })).Should(HttpStatusCode.Created)["secret"]!.GetValue<string>());
        var address = (await (await KeyAsync(nextDoor)).PostAsync($"/v1/people/{personId}/calendar-token")).Should(HttpStatusCode.OK)["url"]!.GetValue<string>();
        await service.Admin.PutAsync($"/v1/people/{personId}", new { name = "Ada Finch", role = "fitter", yardIds = new[] { nextDoor, yard.Yard.YardId } }, ("If-Match", "*"));
        (await yard.ActAsync($"/v1/checks/{yard.Checks[0]}", "book", new { on = Visits.VisitingYard.Tomorrow, fitterId = personId })).Should(HttpStatusCode.OK);

        Assert.DoesNotContain("Bramble", await new Subscriber(new HttpClient(), address).TextAsync(), StringComparison.Ordinal);
        var limited = await KeyAsync(nextDoor);
        (await limited.PostAsync($"/v1/people/{personId}/calendar-token")).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await limited.SendAsync(HttpMethod.Delete, $"/v1/people/{personId}/calendar-token", null)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        address = (await (await KeyAsync(nextDoor, yard.Yard.YardId)).PostAsync($"/v1/people/{personId}/calendar-token")).Should(HttpStatusCode.OK)["url"]!.GetValue<string>();
        Assert.Contains("Bramble", await new Subscriber(new HttpClient(), address).TextAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Address_endsWithItsKey_andOutlivesItsRotation()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var made = (await service.Admin.PostAsync("/v1/keys", new { name = "x", scopes = new[] { "manage" }, yardIds = new[] { yard.YardId } })).Should(HttpStatusCode.Created);
        var client = service.ClientFor(made["secret"]!.GetValue<string>());
        var address = new Subscriber(new HttpClient(), (await client.PostAsync($"/v1/people/{yard.FitterId}/calendar-token")).Should(HttpStatusCode.OK)["url"]!.GetValue<string>());
        var hook = await client.MakeAsync("/v1/subscriptions", new { url = "https://hooks.example/", yardIds = new[] { yard.YardId } });

        var rotated = (await service.Admin.PostAsync($"/v1/keys/{made["id"]}/rotate")).Should(HttpStatusCode.Created);
        service.Clock.Advance(TimeSpan.FromHours(25));
        await address.TextAsync();

        Assert.Empty((await service.Admin.SendAsync(HttpMethod.Delete, $"/v1/keys/{made["id"]}", null)).Should(HttpStatusCode.OK)["subscriptionIds"]!.AsArray());
        await address.TextAsync();
        var revoked = (await service.Admin.SendAsync(HttpMethod.Delete, $"/v1/keys/{rotated["id"]}", null)).Should(HttpStatusCode.OK);
        await ShouldBeGoneAsync(address);
        service.Clock.AdjustTime(service.Clock.GetUtcNow().AddDays(-1));
        await ShouldBeGoneAsync(address); // Whatever the clock says.
        Assert.Equal([hook], revoked["subscriptionIds"]!.AsArray().Select(id => id!.GetValue<string>()));
    }

    [Fact]
    public async Task Address_isShownOnce_andStoredAndLoggedNowhere()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        using var log = new Collected();
        service.Services.GetRequiredService<ILoggerFactory>().AddProvider(log);
        var path = $"/v1/people/{yard.FitterId}/calendar-token";

        var made = (await service.Admin.PostAsync(path, null, ("Idempotency-Key", "one"))).Should(HttpStatusCode.OK);
        var repeated = (await service.Admin.PostAsync(path, null, ("Idempotency-Key", "one"))).Should(HttpStatusCode.OK);
        var subscriber = new Subscriber(new HttpClient(), made["url"]!.GetValue<string>());
        await subscriber.TextAsync();
        var stored = await StoreContent.TextAsync(service);
        await service.ExecuteAsync("alter table visits rename to lost");
        using var failed = await subscriber.FetchAsync();

        Assert.Null(repeated["url"]);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, failed.StatusCode);
        Assert.Contains(log.Lines, line => line.Contains("/v1/calendars/", StringComparison.Ordinal));
        Assert.DoesNotContain(log.Lines, line => line.Contains(subscriber.Token, StringComparison.Ordinal));
        Assert.DoesNotContain(subscriber.Token, await failed.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.Contains(WebSecret.Hash(subscriber.Token), stored, StringComparison.Ordinal);
        Assert.DoesNotContain(subscriber.Token, stored, StringComparison.Ordinal);
    }

    [Fact]
    public async Task AddressThatNobodyHas_isNotFound_andNotRepeated()
    {
        await using var service = await RunningService.StartAsync();

        await ShouldBeGoneAsync(new Subscriber(new HttpClient(), $"{service.Address}/v1/calendars/bm90aGluZw.ics"));
    }

    private static async Task ShouldBeGoneAsync(Subscriber subscriber)
    {
        using var gone = await subscriber.FetchAsync();
        Assert.Equal(HttpStatusCode.NotFound, gone.StatusCode);
        Assert.DoesNotContain(subscriber.Token, await gone.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    /// <summary>Everything the service logs; like its console, without scopes.</summary>
    private sealed class Collected : ILoggerProvider, ILogger
    {
        public ConcurrentQueue<string> Lines { get; } = [];

        public ILogger CreateLogger(string categoryName) => this;

        public IDisposable? BeginScope<TState>(TState state) where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Lines.Enqueue($"{formatter(state, exception)} {exception}");

        public void Dispose() { }
    }
}
