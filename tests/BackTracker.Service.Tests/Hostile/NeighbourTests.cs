using System.Net;
using System.Text.Json;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;
using BackTracker.Service.Tests.OpenApi;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>Two yards with keys of their own: nothing of the one is found, named or told by whatever the other sends.</summary>
public sealed class NeighbourTests
{
    private const string TheirName = "Mill Bottom";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task EveryRoute_withEveryIdOfTheOtherYardInItsPath_findsNothing(StoreKind store)
    {
        await using var service = await StartAsync(store);
        var (api, own, theirs) = await NeighboursAsync(service);
        var wrong = new List<string>();

        foreach (var operation in await OperationsAsync(service))
            foreach (var parameter in operation.Parameters.Where(p => p.In == "path" && p.Name != "token"))
                foreach (var id in theirs.Ids.Where(id => !IsFree(operation, id, theirs)))
                {
                    var path = PathOf(operation with { Path = operation.Path.Replace($"{{{parameter.Name}}}", id, StringComparison.Ordinal) }, own);
                    Look(wrong, operation, await SendAsync(api, operation, path, BodyOf(own, operation)), id, theirs, status => status == (MakesItsId(operation) ? 409 : 404));
                }

        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task EveryRoute_withEveryIdOfTheOtherYardInItsBody_refusesIt(StoreKind store)
    {
        await using var service = await StartAsync(store);
        var (api, own, theirs) = await NeighboursAsync(service);
        var document = (await service.Admin.GetAsync("/openapi/v1.json")).Body;
        var wrong = new List<string>();
        var tried = 0;

        foreach (var operation in Operation.All(document).Where(o => o.Body is not null).OrderBy(IsBooking))
        {
            // The check is on a visit until it is to be booked.
            if (IsBooking(operation))
                (await api.PostAsync($"/v1/checks/{own.IdOfKind["checks"]}/unbook", new { reason = "To be booked anew." }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
            foreach (var body in References.In(BodyOf(own, operation)!, operation.Body!, document))
                foreach (var id in theirs.Ids)
                {
                    tried++;
                    var path = MakesItsId(operation) ? $"/v1/measurements/{Guid.CreateVersion7()}" : PathOf(operation, own);
                    Look(wrong, operation, await SendAsync(api, operation, path, body.With(id)), id, theirs, status => status is 403 or 404 or 422);
                }
        }

        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
        Assert.True(tried > 500, $"Only {tried} references were tried.");
    }

    // What was done to a thing may be asked for long after it has gone: of others' there is nothing in the list.
    private const string AuditPath = "/v1/audit";

    [Fact]
    public async Task EveryList_filteredByEveryIdOfTheOtherYard_findsNothing()
    {
        await using var service = await StartAsync(StoreKind.Sqlite);
        var (api, own, theirs) = await NeighboursAsync(service);
        var wrong = new List<string>();

        foreach (var operation in (await OperationsAsync(service)).Where(operation => operation.Method == "GET"))
            foreach (var parameter in operation.Parameters.Where(p => p.In == "query" && IdPool.KindOf(p.Name) is not null))
                foreach (var id in theirs.Ids)
                {
                    var path = PathOf(operation, own);
                    Look(wrong, operation, await api.GetAsync($"{path}?{parameter.Name}={id}"), id, theirs, status => status is 404 or 422 || (status == 200 && operation.Path == AuditPath));
                }

        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
    }

    /// <summary>A client makes the id of a measurement itself. Where another has it already it learns that, and no more.</summary>
    private static bool MakesItsId(Operation operation) => operation.Route == "PUT /v1/measurements/{id}";

    private static bool IsBooking(Operation operation) => operation.Path.EndsWith("/book", StringComparison.Ordinal);

    /// <summary>An id that is no measurement's may become one's own.</summary>
    private static bool IsFree(Operation operation, string id, RouteWorld theirs) => MakesItsId(operation) && id != theirs.IdOfKind["measurements"];

    private static Task<RunningService> StartAsync(StoreKind store) => RunningService.StartAsync(store, settings: RouteWorld.Settings);

    private static async Task<(ApiClient Api, RouteWorld Own, RouteWorld Theirs)> NeighboursAsync(RunningService service)
    {
        var yard = await Yardful.SettleAsync(service);
        var own = await RouteWorld.SettleAsync(service, yard);
        return (await yard.KeyOfAsync(null, "admin"), own, await RouteWorld.SettleAsync(service, await Yardful.SettleAsync(service, TheirName)));
    }

    private static async Task<IReadOnlyList<Operation>> OperationsAsync(RunningService service) => Operation.All((await service.Admin.GetAsync("/openapi/v1.json")).Body);

    /// <summary>The path with ids of one's own where it still names parameters.</summary>
    private static string PathOf(Operation operation, RouteWorld own) => operation.Parameters.Where(p => p.In == "path" && operation.Path.Contains($"{{{p.Name}}}", StringComparison.Ordinal))
        .Aggregate(operation.Path, (path, p) => path.Replace($"{{{p.Name}}}", own.IdOfKind[operation.KindOf(p.Name)], StringComparison.Ordinal));

    private static JsonNode? BodyOf(RouteWorld own, Operation operation) => own.BodyOfRoute.TryGetValue(operation.Route, out var body) ? JsonSerializer.SerializeToNode(body) : null;

    private static Task<Reply> SendAsync(ApiClient api, Operation operation, string path, JsonNode? body) =>
        api.SendAsync(new HttpMethod(operation.Method), path, body?.ToJsonString(), ("If-Match", "*"));

    /// <summary>Notes an answer that is not one of those expected, or that tells more than what was asked with.</summary>
    private static void Look(List<string> wrong, Operation operation, Reply reply, string asked, RouteWorld theirs, Func<int, bool> isExpected)
    {
        var told = theirs.Ids.Append(TheirName).FirstOrDefault(word => word != asked && reply.Text.Contains(word, StringComparison.OrdinalIgnoreCase));
        if (!isExpected((int)reply.Status) || told is not null)
            wrong.Add($"{operation.Route} with the id of {theirs.IdOfKind.First(pair => pair.Value == asked).Key}: {(int)reply.Status} {reply.Text}");
    }
}
