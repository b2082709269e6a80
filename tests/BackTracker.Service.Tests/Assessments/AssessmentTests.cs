using System.Net;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.WorkQueue;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Assessments;

public sealed class AssessmentTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Assess_twiceWithTheSameFacts_writesNothing(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, role: Hosting.ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(330);
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "rub", note = "Small." });
        var first = await DrainAsync(service);
        var before = await ContentAsync(service);

        await QueueAsync(service, yard.HorseId);
        var second = await DrainAsync(service);

        Assert.Equal((1, 1), (first.Assessed, first.Stored));
        Assert.Equal((1, 0), (second.Assessed, second.Stored));
        Assert.Equal(before, await ContentAsync(service));
    }

    [Fact]
    public async Task Assess_onQuietDays_writesNothingUntilSomethingIsDue()
    {
        await using var service = await RunningService.StartAsync(role: Hosting.ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(320);
        await DrainAsync(service);
        var before = await ContentAsync(service);

        for (var day = 1; day <= 20; day++)
        {
            service.Clock.Advance(TimeSpan.FromDays(1));
            Assert.Equal(1, await service.Services.GetRequiredService<NightlyRound>().RunAsync(TestContext.Current.CancellationToken));
            Assert.Equal((1, 0), ((await DrainAsync(service)) is var night ? (night.Assessed, night.Stored) : default));
        }

        Assert.Equal(before, await ContentAsync(service));
    }

    [Fact]
    public async Task Assess_changeWhileItIsWorkedOut_keepsTheHorseInTheQueue()
    {
        await using var service = await RunningService.StartAsync(role: Hosting.ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        await using (var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken))
        {
            var queued = Assert.Single(await WorkQueueStore.NextAsync(session, service.Clock.GetUtcNow().AddDays(1), 9));
            await yard.MeasureAsync(320);
            await using var write = await service.Database.WriteAsync(Assessor.Actor, TestContext.Current.CancellationToken);
            Assert.False(await WorkQueueStore.RemoveAsync(write, queued));
        }

        Assert.Equal(1, (await DrainAsync(service)).Assessed);
    }

    [Fact]
    public async Task Assessment_behindAFlag_namesEverythingItRead()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var measurement = await yard.MeasureAsync(340);
        await service.SettledAsync();
        var refit = (await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}")).Items.Single(c => c!["kind"]!.GetValue<string>() == "refit")!;

        var assessment = (await service.Admin.GetAsync(refit["reasons"]![0]!["assessment"]!.GetValue<string>())).Should(HttpStatusCode.OK);

        Assert.Contains(measurement, assessment["inputs"]!["measurements"]!.ToJsonString(), StringComparison.Ordinal);
        Assert.Equal(.2, assessment["inputs"]!["policy"]!["riskLimit"]!.GetValue<double>());
        Assert.Equal("do-not-ride", assessment["outputs"]!["pairings"]![0]!["advice"]!.GetValue<string>());
    }

    [Fact]
    public async Task Change_isAssessedWithinTwoSeconds()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await service.SettledAsync();

        await yard.MeasureAsync(320);

        await service.SettledAsync(withinSeconds: 2); // Throws when it takes longer.
    }

    private static Task<DrainResult> DrainAsync(RunningService service) =>
        service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);

    private static async Task QueueAsync(RunningService service, string horseId)
    {
        await using var session = await service.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        await WorkQueueStore.AddHorseAsync(session, horseId);
        await session.CommitAsync();
    }

    /// <summary>Everything a caller can see that an assessment might write.</summary>
    private static async Task<string> ContentAsync(RunningService service)
    {
        var checks = await service.Admin.GetAsync("/v1/checks?limit=500");
        var steps = new List<string>();
        foreach (var check in checks.Items)
            steps.Add((await service.Admin.GetAsync($"/v1/checks/{check!["id"]}/history")).Text);
        var horses = await service.Admin.GetAsync("/v1/horses");
        var assessments = await service.Admin.GetAsync($"/v1/horses/{horses.Items[0]!["id"]}/assessments?limit=500");
        return checks.Text + string.Concat(steps) + assessments.Text;
    }
}
