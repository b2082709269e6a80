using BackTracker.Engine.Alerts;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Alerts;

public sealed class DigestRoundTests
{
    // Changes of daylight saving in 2026: Europe 29 March and 25 October, United States 8 March and 1 November, New Zealand 5 April
    // (IANA tz database). Auckland is UTC+13 in its summer, Kiritimati UTC+14.
    [Theory]
    [InlineData("Europe/London", "2026-03-27T12:00:00Z")]
    [InlineData("Europe/London", "2026-10-23T12:00:00Z")]
    [InlineData("America/Los_Angeles", "2026-03-06T12:00:00Z")]
    [InlineData("America/Los_Angeles", "2026-10-30T12:00:00Z")]
    [InlineData("Pacific/Auckland", "2026-04-03T12:00:00Z")]
    [InlineData("Pacific/Auckland", "2026-01-03T12:00:00Z")]
    [InlineData("Pacific/Kiritimati", "2026-01-03T12:00:00Z")]
    public async Task Run_everyQuarterOfAnHourForFourDays_writesEachDayOnceAtSeven(string zone, string from)
    {
        await using var service = await AlertYard.StartAsync(now: from);
        await service.YardAsync(timeZone: zone);
        var (nightly, digest) = (service.Services.GetRequiredService<NightlyRound>(), service.Services.GetRequiredService<DigestRound>());
        await nightly.RunAsync(TestContext.Current.CancellationToken);

        var hours = new List<int>();
        for (var quarter = 0; quarter < 4 * 24 * 4; quarter++)
        {
            service.Clock.Advance(TimeSpan.FromMinutes(15));
            await nightly.RunAsync(TestContext.Current.CancellationToken);
            if (await digest.RunAsync(TestContext.Current.CancellationToken) > 0)
                hours.Add(TimeZoneInfo.ConvertTime(service.Clock.GetUtcNow(), TimeZoneInfo.FindSystemTimeZoneById(zone)).Hour);
        }

        Assert.Equal([7, 7, 7, 7], hours);
    }

    [Fact]
    public async Task Run_afterDaysOfDowntimeOrAClockSetBack_writesOneLetterAndNoneTwice()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Sorrel" });
        await yard.WorkAsync();
        Assert.Empty(await yard.LettersAsync(ada));

        await yard.AtAsync("2026-11-28T12:00:00Z");
        Assert.Equal(["raised measurement-age"], Assert.Single(await yard.LettersAsync(ada)).Lines.Distinct());

        await yard.AtAsync("2026-11-26T12:00:00Z");
        await yard.AtAsync("2026-11-28T13:00:00Z");
        Assert.Single(await yard.LettersAsync(ada));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Run_inManyInstancesAtOnce_writesOneLetter(StoreKind store)
    {
        await using var service = await AlertYard.StartAsync(store);
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Sorrel" });
        service.Clock.Advance(TimeSpan.FromDays(1));
        await service.Services.GetRequiredService<NightlyRound>().RunAsync(TestContext.Current.CancellationToken);
        await yard.AssessAsync();

        var digest = service.Services.GetRequiredService<DigestRound>();
        var done = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => Task.Run(() => digest.RunAsync(TestContext.Current.CancellationToken))));

        Assert.Equal(1, done.Sum());
        Assert.Single(await yard.LettersAsync(ada));
    }

    [Fact]
    public async Task Run_afterDowntimeOverAMonday_writesTheWeekOnce()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var fitter = await yard.SubscribeAsync(yard.FitterId);
        await yard.SeeAsync("rub");
        await yard.MoveCheckAsync("fit", "book", new { on = "2026-12-04", fitterId = yard.FitterId });

        await yard.AtAsync("2026-12-01T12:00:00Z");
        await yard.AtAsync("2026-12-02T12:00:00Z");

        Assert.Single(await yard.LettersAsync(fitter), letter => letter.Occasion == "week");
    }

    [Fact]
    public async Task Week_goesOnlyToThoseWhoseSubscriptionTakesBookings()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var booked = await yard.SubscribeAsync(yard.FitterId, EventTypes.CheckBooked);
        var urgent = await yard.SubscribeAsync(yard.FitterId, EventTypes.ObservationVetFirst);
        await yard.SeeAsync("rub");
        await yard.MoveCheckAsync("fit", "book", new { on = "2026-12-04", fitterId = yard.FitterId });

        await yard.AtAsync("2026-11-30T12:00:00Z");

        Assert.Equal(["week"], (await yard.LettersAsync(booked)).Select(letter => letter.Occasion));
        Assert.Empty(await yard.LettersAsync(urgent));
    }

    [Fact]
    public async Task Run_backAtNight_leavesTheLetterToTheMorning()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Sorrel" });

        await yard.AtAsync("2026-11-27T23:00:00Z");
        Assert.Empty(await yard.LettersAsync(ada));
        await yard.AtAsync("2026-11-28T07:00:00Z");

        Assert.Single(await yard.LettersAsync(ada));
    }

    [Fact]
    public async Task Run_whileHorsesOfTheYardAreStillToBeAssessed_waitsForThem()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        service.Clock.Advance(TimeSpan.FromDays(1));
        await service.Services.GetRequiredService<NightlyRound>().RunAsync(TestContext.Current.CancellationToken);
        var digest = service.Services.GetRequiredService<DigestRound>();

        Assert.Equal(0, await digest.RunAsync(TestContext.Current.CancellationToken));
        await yard.AssessAsync();
        Assert.Equal(1, await digest.RunAsync(TestContext.Current.CancellationToken));
    }
}
