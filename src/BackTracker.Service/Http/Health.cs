using BackTracker.Service.Hosting;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using Quartz;

namespace BackTracker.Service.Http;

/// <summary>Whether the process runs and whether it can do its work; open to everybody, and silent about why not.</summary>
internal static class Health
{
    public static void MapHealth(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/health/live", () => Results.Json(new { status = "live" })).ExcludeFromDescription();
        routes.MapGet("/health/ready", ReadyAsync).ExcludeFromDescription();
    }

    private static async Task<IResult> ReadyAsync(Database database, ServeOptions options, IServiceProvider services, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        await WorkQueueStore.CountAsync(session);
        if (options.Jobs == JobMode.Run && (await services.GetRequiredService<ISchedulerFactory>().GetScheduler(cancel)).Status != SchedulerStatus.Running)
            throw new ProblemException(ProblemKind.NotReady, "The jobs have not started yet. Try again in a few seconds.");
        return Results.Json(new { status = "ready" });
    }
}
