using System.Globalization;
using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.Time.Testing;

namespace BackTracker.Service.Tests.Edge;

public sealed partial class RateLimitTests
{
    private static readonly Settings Tight = new() { Limits = new() { RequestsPerMinute = 3, FailedTriesPerMinute = 2 } };

    [Fact]
    public async Task Key_isToldWhatIsLeft_andRefusedWhenNothingIs()
    {
        await using var service = await RunningService.StartAsync(settings: Tight);

        foreach (var left in new[] { 2, 1, 0 })
        {
            var reply = (await service.Admin.GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
            Assert.Equal("\"key\";q=3;w=60", Field(reply, "RateLimit-Policy"));
            Assert.Equal($"\"key\";r={left};t=60", Field(reply, "RateLimit"));
        }
        service.Clock.Advance(TimeSpan.FromSeconds(12.5));
        var refused = (await service.Admin.GetAsync("/v1/yards")).ShouldBeProblem(HttpStatusCode.TooManyRequests, "quota-exceeded");

        Assert.Equal("\"key\";r=0;t=48", Field(refused, "RateLimit"));
        Assert.Equal("\"key\";q=3;w=60", Field(refused, "RateLimit-Policy"));
        Assert.Equal(TimeSpan.FromSeconds(48), refused.Headers.RetryAfter!.Delta);
    }

    [Theory]
    [InlineData("/v1/yards/nothing", 404)]
    [InlineData("/v1/yards?limit=none", 400)]
    public async Task Refusals_ofAKey_sayWhatIsLeftToo(string path, int status)
    {
        await using var service = await RunningService.StartAsync(settings: Tight);

        var reply = await service.Admin.GetAsync(path);

        Assert.Equal(status, (int)reply.Status);
        Assert.Equal("\"key\";r=2;t=60", Field(reply, "RateLimit"));
    }

    [Fact]
    public async Task Client_thatWaitsAsTold_isNeverRefused()
    {
        await using var service = await RunningService.StartAsync(settings: Tight);

        for (var request = 0; request < 20; request++)
        {
            var reply = (await service.Admin.GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
            var told = State().Match(Field(reply, "RateLimit"));
            if (told.Groups[1].Value == "0")
                service.Clock.Advance(TimeSpan.FromSeconds(int.Parse(told.Groups[2].Value, CultureInfo.InvariantCulture)));
            else
                service.Clock.Advance(TimeSpan.FromSeconds(7.3));
        }
    }

    [Fact]
    public async Task Key_refused_leavesOthersTheirs()
    {
        await using var service = await RunningService.StartAsync(settings: Tight);
        var yardId = await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var other = service.ClientFor((await service.Admin.PostAsync("/v1/keys", new { name = "phone", scopes = new[] { "read" }, yardIds = new[] { yardId } }))["secret"]!.GetValue<string>());
        await service.Admin.GetAsync("/v1/yards");

        (await service.Admin.GetAsync("/v1/yards")).Should(HttpStatusCode.TooManyRequests);
        (await other.GetAsync("/v1/yards")).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Tries_withoutAValidKey_areLimitedByAddress_andHoldUpNoValidKey()
    {
        await using var service = await RunningService.StartAsync(settings: Tight);
        var stranger = service.ClientFor("bt_guessed");

        var first = (await stranger.GetAsync("/v1/yards")).ShouldBeProblem(HttpStatusCode.Unauthorized, "no-key");
        Assert.Equal("\"address\";r=1;t=60", Field(first, "RateLimit"));
        (await stranger.GetAsync("/v1/yards")).Should(HttpStatusCode.Unauthorized);
        var refused = (await stranger.GetAsync("/v1/yards")).ShouldBeProblem(HttpStatusCode.TooManyRequests, "quota-exceeded");
        Assert.Equal(TimeSpan.FromSeconds(60), refused.Headers.RetryAfter!.Delta);
        Assert.Equal(429, (await RawHttp.AskAsync(service.Address, "GET", "/v1/yards")).Status);
        Assert.Equal(429, (await RawHttp.AskAsync(service.Address, "GET", "/v1/calendars/guessed.ics")).Status);
        (await service.Admin.GetAsync("/v1/yards")).Should(HttpStatusCode.OK);

        service.Clock.Advance(TimeSpan.FromSeconds(60));
        (await stranger.GetAsync("/v1/yards")).Should(HttpStatusCode.Unauthorized);
    }

    [Fact]
    public async Task SigningIn_withWrongKeys_isLimitedToo()
    {
        await using var service = await RunningService.StartAsync(settings: Tight);
        using var stranger = new PageClient(service.Address, "bt_guessed");

        Assert.Equal(HttpStatusCode.UnprocessableEntity, (await stranger.SignInAsync()).Status);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, (await stranger.SignInAsync()).Status);
        var refused = (await stranger.SignInAsync()).Should(HttpStatusCode.TooManyRequests);

        Assert.StartsWith("text/html", refused.ContentHeaders.ContentType!.ToString(), StringComparison.Ordinal);
        using var owner = await PageClient.SignedInAsync(service);
        Assert.Equal("\"key\";r=2;t=60", Field(await owner.GetAsync("/"), "RateLimit"));
    }

    [Fact]
    public void Quota_ofAMillionHolders_keepsFewOfThem()
    {
        var quota = new Quota<int>(5, new FakeTimeProvider());
        var before = GC.GetTotalMemory(forceFullCollection: true);

        for (var holder = 0; holder < 1_000_000; holder++)
            quota.Take(holder);

        Assert.InRange(GC.GetTotalMemory(forceFullCollection: true) - before, long.MinValue, 10_000_000);
        GC.KeepAlive(quota);
    }

    [Fact]
    public async Task Quota_takenByMany_isGrantedExactlyAsOftenAsItSays()
    {
        var quota = new Quota<string>(1000, new FakeTimeProvider());

        var granted = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => Task.Run(() => Enumerable.Range(0, 500).Count(_ => quota.Take("one").Granted))));

        Assert.Equal(1000, granted.Sum());
    }

    private static string Field(Reply reply, string name) => reply.Headers.TryGetValues(name, out var values) ? values.Single() : "";

    [GeneratedRegex("^\"key\";r=([0-9]+);t=([0-9]+)$")]
    private static partial Regex State();
}
