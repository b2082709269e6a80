using System.Data.Common;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using Dapper;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Assessments;

public sealed class CutOffTests
{
    [Theory, InlineData("measurements"), InlineData("assessments")]
    public async Task Drain_whoseConnectionIsEndedWhileItReadsOrSaves_putsNobodyOff(string whileWaitingFor)
    {
        await using var service = await RunningService.StartAsync(StoreKind.Postgres, role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(340);
        var assessor = service.Services.GetRequiredService<Assessor>();
        await using (var other = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken))
        {
            await using var holding = await other.BeginTransactionAsync(TestContext.Current.CancellationToken);
            await other.ExecuteAsync($"lock table {whileWaitingFor} in {(whileWaitingFor == "measurements" ? "access exclusive" : "share")} mode");
            var draining = assessor.DrainAsync(TestContext.Current.CancellationToken);
            // Whether it tries once more by itself or leaves that to the next turn.
            await Eventually.TrueAsync(async () =>
            {
                await other.ExecuteAsync("select pg_terminate_backend(pid) from pg_locks where not granted and database = (select oid from pg_database where datname = current_database())");
                return draining.IsCompleted;
            }, () => "It waits on.");
            await Assert.ThrowsAnyAsync<DbException>(() => draining);
        }

        Assert.Equal(1, (await assessor.DrainAsync(TestContext.Current.CancellationToken)).Stored);
        Assert.Empty(await service.WaitingAsync());
    }
}
