using System.Data.Common;
using System.Net;
using BackTracker.Service.Hosting;
using BackTracker.Storage;
using BackTracker.Storage.Migrations;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;
using Quartz;

namespace BackTracker.Service.Http;

/// <summary>How the service is. What it says beyond the status is for this machine alone.</summary>
/// <param name="Status">"ready".</param>
/// <param name="OldestEventSeconds">How long the oldest event has waited that a webhook is still to be told of; null where none waits.</param>
internal sealed record ReadyAnswer(string Status, long? OldestEventSeconds);

/// <summary>Whether the process runs and whether it can do its work; open to everybody.</summary>
internal static class Health
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(3);

    public static void MapHealth(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/health/live", () => Results.Json(new { status = "live" })).ExcludeFromDescription();
        routes.MapGet("/health/ready", ReadyAsync).ExcludeFromDescription();
    }

    /// <summary>Sends whoever takes an instance that only works for one that answers to the others.</summary>
    public static void MapNothingElse(this IEndpointRouteBuilder routes) => routes.MapFallback("{*path}", (HttpContext http) => throw new ProblemException(
        ProblemKind.NotFound, $"{http.Request.Path} is answered by other instances: this one works in the background (--role worker) and answers /health/live, /health/ready and /metrics.")).ExcludeFromDescription();

    private static async Task<IResult> ReadyAsync(HttpContext http, Database database, ServeOptions options, Drain drain, TimeProvider clock, IServiceProvider services)
    {
        if (drain.IsStopping)
            throw NotReady("The service is stopping.");
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(http.RequestAborted);
        limit.CancelAfter(Patience);
        try
        {
            if (options.Role.Works() && (await services.GetRequiredService<ISchedulerFactory>().GetScheduler(limit.Token)).Status != SchedulerStatus.Running)
                throw NotReady("The jobs do not run.");
            if (await Migrator.PendingAsync(database.Dialect, limit.Token) is { Count: > 0 })
                throw NotReady("The schema of the store is not that of this version.");
            if (await Migrator.RefusalAsync(database.Dialect, limit.Token) is { } refusal)
                throw NotReady(refusal.Message);
            await database.RefuseUnwritableAsync(limit.Token);
            await using var session = await database.ReadAsync(limit.Token);
            var oldest = IsNear(http) ? await DeliveryStore.OldestAsync(session) : null;
            return Json.Answer(new ReadyAnswer("ready", oldest is null ? null : (long)(clock.GetUtcNow() - Instants.Read(oldest)).TotalSeconds));
        }
        catch (Exception error) when (error is DbException or TimeoutException || limit.IsCancellationRequested)
        {
            throw new ProblemException(ProblemKind.NotReady, "The store cannot be used. Try again in a few seconds.", error);
        }
    }

    private static bool IsNear(HttpContext http) => http.Connection.RemoteIpAddress is { } address && IPAddress.IsLoopback(address);

    private static ProblemException NotReady(string why) => new(ProblemKind.NotReady, $"{why} Try again in a few seconds.");
}
