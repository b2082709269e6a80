using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Jobs;

/// <summary>One horse, or one yard, that cannot be worked on does not hold up the others.</summary>
public sealed class OneThatFailsTests
{
    [Fact]
    public async Task Horse_thatCannotBeSaved_isPutOffAlone_andAssessedAtOnceWhenItChanges()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yardId = await service.YardAsync();
        var bad = await service.HorseAsync(yardId, "Bramble");
        var good = new[] { await service.HorseAsync(yardId, "Sorrel"), await service.HorseAsync(yardId, "Clover") };
        await service.ExecuteAsync($"create trigger refuse before insert on assessments when new.horse_id = '{bad}' begin select raise(abort, 'refused'); end");

        var drained = await DrainAsync(service);

        Assert.Equal((2, 1), (drained.Assessed, drained.Failed));
        foreach (var horse in good)
            Assert.NotEmpty((await service.Admin.GetAsync($"/v1/checks?horseId={horse}")).Items);
        Assert.Equal(bad, Assert.Single(await service.WaitingAsync()).HorseId);
        Assert.Equal(default, await DrainAsync(service));

        await service.ExecuteAsync("drop trigger refuse");
        await service.QueueAsync(bad);
        Assert.Equal(1, (await DrainAsync(service)).Assessed);
    }

    [Fact]
    public async Task Yard_inAZoneThisMachineDoesNotKnow_holdsUpNoOther()
    {
        await using var service = await RunningService.StartAsync(now: "2026-11-25T12:00:00Z", role: ServiceRole.Api);
        var lost = await service.YardAsync("Aye");
        var yardId = await service.YardAsync("Bee");
        await service.HorseAsync(lost);
        await service.HorseAsync(yardId);
        await DrainAsync(service);
        await service.ExecuteAsync($"update yards set time_zone = 'Europe/Nowhere' where id = '{lost}'");
        await service.ExecuteAsync("update alerts set waits = 'morning'");
        service.Clock.Advance(TimeSpan.FromDays(1));

        Assert.Equal(1, await service.Services.GetRequiredService<NightlyRound>().RunAsync(TestContext.Current.CancellationToken));
        Assert.Equal(1, await service.Services.GetRequiredService<MorningRound>().RunAsync(TestContext.Current.CancellationToken));
        await DrainAsync(service);
        Assert.Equal(1, await service.Services.GetRequiredService<DigestRound>().RunAsync(TestContext.Current.CancellationToken));
    }

    private static Task<DrainResult> DrainAsync(RunningService service) =>
        service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
}
