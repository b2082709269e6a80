using System.Net;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Tests.Harness;

/// <summary>Saddles, people and what waits to be assessed, to test with.</summary>
internal static class TackSetup
{
    public const string Today = "2026-11-25";

    public static Task<string> SaddleAsync(this RunningService service, string yardId, string tree = "adjustable") =>
        service.Admin.MakeAsync("/v1/saddles", new { yardId, label = "Brown trail saddle", tree, filling = "wool" });

    public static Task<string> FitterAsync(this RunningService service, string yardId) =>
        service.Admin.MakeAsync("/v1/people", new { name = "Morwen Hale", role = "fitter", yardIds = new[] { yardId } });

    public static Task<string> PairAsync(this RunningService service, string horseId, string saddleId, string from = "2026-01-01", string? to = null) =>
        service.Admin.MakeAsync("/v1/pairings", new { horseId, saddleId, from, to });

    /// <summary>Sends a body in which names in capitals stand for ids.</summary>
    public static Task<Reply> PostTextAsync(this ApiClient client, string path, string body, params (string Name, string Id)[] ids) => client.SendAsync(
        HttpMethod.Post, path, ids.Aggregate(body, (text, pair) => text.Replace($"\"{pair.Name}\"", $"\"{pair.Id}\"", StringComparison.Ordinal)));

    /// <summary>Insists on a problem and, where one is given, on a fault at a pointer.</summary>
    public static void ShouldPoint(this Reply reply, int status, string kind, string? pointer)
    {
        reply.ShouldBeProblem((HttpStatusCode)status, kind);
        if (pointer is not null)
            Assert.True(reply["errors"]![pointer] is not null, $"no fault at {pointer}: {reply.Text}");
    }

    /// <summary>Which horses wait to be assessed. Only of use while the jobs are off.</summary>
    public static async Task<IReadOnlyList<QueuedHorse>> WaitingAsync(this RunningService service)
    {
        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        return await WorkQueueStore.NextAsync(session, service.Clock.GetUtcNow().AddDays(1), 100);
    }
}
