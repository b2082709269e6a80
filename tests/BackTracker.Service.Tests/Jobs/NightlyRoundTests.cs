using System.Globalization;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Jobs;

public sealed class NightlyRoundTests
{
    // Changes of daylight saving in 2026: Europe 29 March and 25 October, United States 8 March and 1 November (IANA tz database).
    [Theory]
    [InlineData("Europe/London", "2026-03-27T12:00:00Z")]
    [InlineData("Europe/London", "2026-10-23T12:00:00Z")]
    [InlineData("America/Los_Angeles", "2026-03-06T12:00:00Z")]
    [InlineData("America/Los_Angeles", "2026-10-30T12:00:00Z")]
    [InlineData("Pacific/Tongatapu", "2028-02-27T12:00:00Z")]
    [InlineData("Australia/Lord_Howe", "2026-04-03T12:00:00Z")]
    public async Task Run_everyQuarterOfAnHourForFourDays_doesEachNightOnce(string zone, string from)
    {
        await using var service = await RunningService.StartAsync(now: from, role: Hosting.ServiceRole.Api);
        await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = zone });
        var round = service.Services.GetRequiredService<NightlyRound>();
        await round.RunAsync(TestContext.Current.CancellationToken);

        var nights = 0;
        for (var quarter = 0; quarter < 4 * 24 * 4; quarter++)
        {
            service.Clock.Advance(TimeSpan.FromMinutes(15));
            if (await round.RunAsync(TestContext.Current.CancellationToken) == 0)
                continue;
            nights++;
            var local = TimeZoneInfo.ConvertTime(service.Clock.GetUtcNow(), TimeZoneInfo.FindSystemTimeZoneById(zone));
            Assert.True(local.Hour == 3, $"The round was at {local.ToString("O", CultureInfo.InvariantCulture)}.");
        }

        Assert.Equal(4, nights);
    }

    [Fact]
    public async Task Run_afterDaysOfDowntimeOrAClockSetBack_doesOneNightAndNoneTwice()
    {
        await using var service = await RunningService.StartAsync(now: "2026-06-01T12:00:00Z", role: Hosting.ServiceRole.Api);
        await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        var round = service.Services.GetRequiredService<NightlyRound>();
        Assert.Equal(1, await round.RunAsync(TestContext.Current.CancellationToken));

        service.Clock.Advance(TimeSpan.FromDays(3));
        Assert.Equal(1, await round.RunAsync(TestContext.Current.CancellationToken));
        Assert.Equal(0, await round.RunAsync(TestContext.Current.CancellationToken));

        service.Clock.AdjustTime(service.Clock.GetUtcNow().AddDays(-2));
        Assert.Equal(0, await round.RunAsync(TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task Run_byAClockThatWasWeeksAhead_holdsUpNoRoundOnceItIsSetRight()
    {
        await using var service = await RunningService.StartAsync(now: "2026-06-01T12:00:00Z", role: Hosting.ServiceRole.Api);
        await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        service.Clock.Advance(TimeSpan.FromDays(1));
        Assert.Equal((1, 1), await RoundsAsync());
        service.Clock.AdjustTime(service.Clock.GetUtcNow().AddDays(-30));
        Assert.Equal((1, 1), await RoundsAsync());
        Assert.Equal((0, 0), await RoundsAsync());
        service.Clock.Advance(TimeSpan.FromDays(1));
        Assert.Equal((1, 1), await RoundsAsync());

        async Task<(int Nights, int Letters)> RoundsAsync() =>
            (await service.Services.GetRequiredService<NightlyRound>().RunAsync(TestContext.Current.CancellationToken), await service.Services.GetRequiredService<DigestRound>().RunAsync(TestContext.Current.CancellationToken));
    }
}
