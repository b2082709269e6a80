using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.OpenApi;

/// <summary>Walks every operation of the document with keys that must not get through.</summary>
public sealed partial class RouteGuardTests
{
    // Each includes the ones before it, except that fit and manage stand side by side.
    private static readonly Dictionary<string, string[]> Included = new()
    {
        ["read"] = ["read"],
        ["record"] = ["read", "record"],
        ["fit"] = ["read", "record", "fit"],
        ["manage"] = ["read", "record", "manage"],
        ["admin"] = ["read", "record", "fit", "manage", "admin"],
    };

    [Fact]
    public async Task EveryRoute_withEachScopeThatIsNotEnough_isRefused()
    {
        await using var service = await RunningService.StartAsync(settings: RouteWorld.Settings);
        var yard = await Yardful.SettleAsync(service);
        var world = await RouteWorld.SettleAsync(service, yard);
        var keys = new Dictionary<string, ApiClient>();
        foreach (var scope in Included.Keys)
            keys[scope] = await yard.KeyOfAsync(null, scope);

        foreach (var route in (await RoutesAsync(service)).Where(r => r.Scopes.Count > 0))
            foreach (var scope in Included.Keys.Where(scope => !Included[scope].Intersect(route.Scopes).Any()))
                (await world.SendAsync(keys[scope], route.Method, route.Path)).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
    }

    [Fact]
    public async Task EveryRoute_withoutAKeyThatWorks_isRefusedAndSaysWhatIsNeeded()
    {
        await using var service = await RunningService.StartAsync(settings: RouteWorld.Settings);
        var yard = await Yardful.SettleAsync(service);
        var world = await RouteWorld.SettleAsync(service, yard);
        ApiClient[] callers = [service.ClientFor(""), service.ClientFor("bt_nobody"), await RevokedAsync(service, yard.YardId), await ExpiredAsync(service, yard.YardId)];

        foreach (var route in (await RoutesAsync(service)).Where(r => r.Scopes.Count > 0))
            foreach (var caller in callers)
            {
                var reply = (await world.SendAsync(caller, route.Method, route.Path)).ShouldBeProblem(HttpStatusCode.Unauthorized, "no-key");
                Assert.Equal("Bearer", reply.Headers.WwwAuthenticate.ToString());
            }
    }

    [Fact]
    public async Task EveryRouteToAThing_withAKeyOfAnotherYard_findsNothing()
    {
        await using var service = await RunningService.StartAsync(settings: RouteWorld.Settings);
        var world = await RouteWorld.SettleAsync(service, await Yardful.SettleAsync(service));
        var elsewhere = await (await Yardful.SettleAsync(service, "Mill Bottom")).KeyOfAsync(null, "admin");

        // A method is nobody's: what is told of it in another yard is tested with it. What all horses teach is told to all.
        foreach (var route in (await RoutesAsync(service)).Where(r => r.Scopes.Count > 0 && r.Path.Contains('{', StringComparison.Ordinal) && !r.Path.Contains("{method}", StringComparison.Ordinal) && !r.Path.StartsWith("/v1/priors", StringComparison.Ordinal)))
        {
            var reply = await world.SendAsync(elsewhere, route.Method, route.Path);
            Assert.True(reply.Status == HttpStatusCode.NotFound, $"{route.Method} {route.Path}: {(int)reply.Status} {reply.Text}");
        }
    }

    [Fact]
    public async Task EveryList_withAKeyOfAnotherYard_isEmptyOrItsOwn()
    {
        await using var service = await RunningService.StartAsync(settings: RouteWorld.Settings);
        var yard = await Yardful.SettleAsync(service);
        var world = await RouteWorld.SettleAsync(service, yard);
        var elsewhere = await world.KeyOfAnEmptyYardAsync();

        foreach (var route in (await RoutesAsync(service)).Where(r => r.Method == "GET" && !r.Path.Contains('{', StringComparison.Ordinal)))
        {
            var reply = (await elsewhere.GetAsync(route.Path)).Should(HttpStatusCode.OK);
            foreach (var id in world.Ids.Append(yard.YardId))
                Assert.DoesNotContain(id, reply.Text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task EveryRoute_standsInTheScopeTableOfTheGuide()
    {
        await using var service = await RunningService.StartAsync();
        var path = Path.Combine(Repository.Root, "docs", "api.md");
        var guide = await File.ReadAllTextAsync(path, TestContext.Current.CancellationToken);
        var table = "| route | scope |\n|---|---|\n" + string.Concat((await RoutesAsync(service)).Select(r => $"| `{r.Method} {r.Path}` | {(r.Scopes.Count == 0 ? "no key" : string.Join(" or ", r.Scopes))} |\n"));
        if (Environment.GetEnvironmentVariable("BACKTRACKER_WRITE_OPENAPI") == "1")
            await File.WriteAllTextAsync(path, ScopeTable().Replace(guide, table), TestContext.Current.CancellationToken);

        Assert.True((await File.ReadAllTextAsync(path, TestContext.Current.CancellationToken)).Contains(table, StringComparison.Ordinal),
            "The scope table of docs/api.md is not that of the service. If the change is meant: BACKTRACKER_WRITE_OPENAPI=1 scripts/test");
    }

    private static async Task<IReadOnlyList<Route>> RoutesAsync(RunningService service)
    {
        var document = (await service.Admin.GetAsync("/openapi/v1.json")).Body;
        return
        [
            .. DocumentTests.Operations(document).Select(o =>
            {
                var parts = o.Name.Split(' ');
                var scopes = ScopeWord().Matches(o.Operation["description"]!.GetValue<string>()).Select(m => m.Groups[1].Value);
                return new Route(parts[0], parts[1], [.. scopes]);
            }),
        ];
    }

    private static async Task<ApiClient> RevokedAsync(RunningService service, string yardId)
    {
        var made = (await service.Admin.PostAsync("/v1/keys", new { name = "revoked", scopes = new[] { "admin" }, yardIds = new[] { yardId } })).Should(HttpStatusCode.Created);
        (await service.Admin.SendAsync(HttpMethod.Delete, $"/v1/keys/{made["id"]}", null)).Should(HttpStatusCode.OK);
        return service.ClientFor(made["secret"]!.GetValue<string>());
    }

    private static async Task<ApiClient> ExpiredAsync(RunningService service, string yardId)
    {
        var today = service.Clock.GetUtcNow().ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
        var made = (await service.Admin.PostAsync("/v1/keys", new { name = "expired", scopes = new[] { "admin" }, yardIds = new[] { yardId }, expiresOn = today })).Should(HttpStatusCode.Created);
        await service.PassDaysAsync(3);
        return service.ClientFor(made["secret"]!.GetValue<string>());
    }

    private sealed record Route(string Method, string Path, IReadOnlyList<string> Scopes);

    [GeneratedRegex("`([a-z]+)`")]
    private static partial Regex ScopeWord();

    [GeneratedRegex(@"SCOPES-TABLE\n|\| route \| scope \|\n(\|[^\n]*\n)+")]
    private static partial Regex ScopeTable();
}
