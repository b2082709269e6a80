using System.Net;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using Dapper;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Jobs;

/// <summary>Two transactions that wait for each other: PostgreSQL gives one of them up, which is then done once more.</summary>
public sealed class TwoWritersTests
{
    [Fact]
    public async Task Booking_givenUpForAnother_isDoneOnceMore()
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        var (yard, checkId) = await OutOfToleranceAsync(service);
        await service.QueueAsync(yard.HorseId);

        var answer = await CrossedAsync(
            service, checkId, () => service.Admin.PostAsync($"/v1/checks/{checkId}/book", new { on = "2026-11-26", fitterId = yard.FitterId }, ("If-Match", "*")));

        answer.Should(HttpStatusCode.OK);
        Assert.Equal("booked", (await service.Admin.GetAsync($"/v1/checks/{checkId}"))["state"]!.GetValue<string>());
        Assert.Equal(["open", "book"], (await service.Admin.GetAsync($"/v1/checks/{checkId}/history"))["steps"]!.AsArray().Select(s => s!["action"]!.GetValue<string>()));
    }

    [Fact]
    public async Task Assessment_givenUpForAnother_isSavedOnceMore()
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        var (yard, checkId) = await OutOfToleranceAsync(service);
        await service.ExecuteAsync("update horses set status = 'sold'"); // Its checks are dropped.
        await service.QueueAsync(yard.HorseId);

        var drained = await CrossedAsync(service, checkId, () => service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken));

        Assert.Equal((1, 1, 0), (drained.Assessed, drained.Stored, drained.Failed));
        Assert.Empty(await service.WaitingAsync());
    }

    private static async Task<(Yardful Yard, string CheckId)> OutOfToleranceAsync(RunningService service)
    {
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(340);
        await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
        var refit = (await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}")).Items.Single(c => c!["kind"]!.GetValue<string>() == "refit")!;
        return (yard, refit["id"]!.GetValue<string>());
    }

    /// <summary>Does a write that takes the queue row and then the check, while another has the check and then takes the queue row.</summary>
    private static async Task<T> CrossedAsync<T>(RunningService service, string checkId, Func<Task<T>> write)
    {
        await using var other = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var transaction = await other.BeginTransactionAsync(TestContext.Current.CancellationToken);
        await other.ExecuteAsync($"update checks set state = state where id = '{checkId}'");
        var writing = write();
        await Eventually.TrueAsync(async () => await CountAsync(service, "pg_locks where not granted") > 0, () => "Nobody waits.");
        // The write waits longer than this one, so that it is the one that finds out and is given up.
        await other.ExecuteAsync("set local deadlock_timeout = '60s'");
        await other.ExecuteAsync("update work_queue set enqueued_at = enqueued_at");
        await transaction.CommitAsync(TestContext.Current.CancellationToken);
        var written = await writing;
        await Eventually.TrueAsync(async () => await DeadlocksAsync(service) > 0, () => "They did not wait for each other.");
        return written;
    }

    private static Task<long> DeadlocksAsync(RunningService service) =>
        CountAsync(service, "pg_stat_database where datname = current_database() and deadlocks > 0");

    private static async Task<long> CountAsync(RunningService service, string rows)
    {
        await using var connection = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        return await connection.ExecuteScalarAsync<long>($"select count(*) from {rows}");
    }
}
