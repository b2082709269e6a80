using System.Globalization;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Alerts;

/// <summary>When people are told, and who.</summary>
public sealed class TellingPeopleTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Urgent_inTheNight_waitsForItsEnd(StoreKind store)
    {
        await using var service = await AlertYard.StartAsync(store, "2026-11-25T22:00:00Z");
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await yard.SeeAsync("rub");
        Assert.Empty(await yard.LettersAsync(ada));

        await yard.LiveAsync(TimeSpan.FromHours(12));

        var letter = Assert.Single(await yard.LettersAsync(ada));
        Assert.Equal(("at-once", "2026-11-26T06:30"), (letter.Occasion, letter.At.ToString("yyyy-MM-ddTHH:mm", CultureInfo.InvariantCulture)));
        // Decided once when it was seen and once when its day had passed, then told.
        Assert.Equal(
            ["waits-for-morning: new, waits for the end of the night", "waits-for-morning: new, waits for the end of the night", "told: new, at once: before the next ride"],
            await yard.DecisionsAsync(await yard.AlertAsync("saddle-sign"), ada));
    }

    // The nights in which clocks change in 2026 (IANA tz database), and Auckland at UTC+13.
    [Theory]
    [InlineData("Pacific/Auckland", "2026-01-05T11:00:00Z")]
    [InlineData("Pacific/Auckland", "2026-04-04T11:00:00Z")]
    [InlineData("America/Los_Angeles", "2026-03-08T07:00:00Z")]
    [InlineData("America/Los_Angeles", "2026-11-01T06:00:00Z")]
    [InlineData("Europe/London", "2026-03-28T23:00:00Z")]
    [InlineData("Europe/London", "2026-10-24T23:00:00Z")]
    public async Task Urgent_inANightOfAnyYard_isToldWhenThatNightEnds(string zone, string now)
    {
        await using var service = await AlertYard.StartAsync(now: now);
        var yard = await AlertYard.SettleAsync(service, zone);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await yard.SeeAsync("rub");

        await yard.LiveAsync(TimeSpan.FromHours(10));

        var local = TimeZoneInfo.ConvertTime(Assert.Single(await yard.LettersAsync(ada)).At, TimeZoneInfo.FindSystemTimeZoneById(zone));
        Assert.Equal("06:30", local.ToString("HH:mm", CultureInfo.InvariantCulture));
    }

    [Fact]
    public async Task VetFirst_atTwoInTheNightInsideAQuietPeriod_goesAtOnce()
    {
        await using var service = await AlertYard.StartAsync(now: "2026-11-25T02:00:00Z");
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await service.Admin.MakeAsync("/v1/quiet-periods", new { horseId = yard.HorseId, until = yard.Day(10), reason = "horse away" });

        await yard.SeeAsync("open-sore");

        Assert.Equal(["raised vet-first"], Assert.Single(await yard.LettersAsync(ada)).Lines);
        Assert.Equal(["told: new, at once: a vet looks first"], await yard.DecisionsAsync(await yard.AlertAsync("vet-first"), ada));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task QuietPeriod_ends_andWhatIsStillOpenIsToldOnce(StoreKind store)
    {
        await using var service = await AlertYard.StartAsync(store);
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await service.Admin.MakeAsync("/v1/quiet-periods", new { horseId = yard.HorseId, until = yard.Day(2), reason = "horse away" });
        await yard.SeeAsync("rub");

        await yard.LiveAsync(TimeSpan.FromDays(5));

        var first = (await yard.LettersAsync(ada))[0];
        Assert.Equal("2026-11-28T07:00", first.At.ToString("yyyy-MM-ddTHH:mm", CultureInfo.InvariantCulture));
        var lines = (await yard.LettersAsync(ada)).SelectMany(letter => letter.Lines).ToList();
        Assert.Single(lines, line => line == "raised saddle-sign");
        Assert.Equal("quiet: quiet until 27 November 2026, horse away", (await yard.DecisionsAsync(await yard.AlertAsync("saddle-sign"), ada)).First());
    }

    [Fact]
    public async Task QuietPeriod_endedByHand_tellsWhatIsUrgentAtOnce()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        var quiet = await service.Admin.MakeAsync("/v1/quiet-periods", new { yardId = yard.YardId, until = yard.Day(9), reason = "closed" });
        await yard.SeeAsync("rub");

        await service.Admin.SendAsync(HttpMethod.Delete, $"/v1/quiet-periods/{quiet}", null);

        Assert.Equal(["raised saddle-sign"], Assert.Single(await yard.LettersAsync(ada)).Lines);
        Assert.NotNull((await service.Admin.GetAsync($"/v1/quiet-periods/{quiet}"))["endedAt"]);
    }

    [Fact]
    public async Task Overdue_climbsToTheFitterAndToTheOwner_andOnceAcknowledgedToNobody()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var (ada, fitter, owner) = (await yard.SubscribeAsync(yard.ManagerId), await yard.SubscribeAsync(yard.FitterId), await yard.SubscribeAsync(yard.OwnerId));
        await yard.SeeAsync("rub"); // Due today, overdue from the 26th.

        await yard.LiveAsync(TimeSpan.FromDays(4));
        Assert.Equal(["2026-11-25 raised saddle-sign", "2026-11-26 overdue saddle-sign"], await HeardAsync(yard, ada));
        Assert.Equal(["2026-11-28 overdue saddle-sign"], await HeardAsync(yard, fitter));

        await yard.AcknowledgeAsync(await yard.AlertAsync("saddle-sign"));
        await yard.LiveAsync(TimeSpan.FromDays(4));
        Assert.Empty(await yard.LettersAsync(owner));
        Assert.Equal("not-told: acknowledged: it climbs no further", (await yard.DecisionsAsync(await yard.AlertAsync("saddle-sign"), owner)).Last());
    }

    [Fact]
    public async Task Overdue_thatNobodyAcknowledges_reachesTheOwnerOnTheFifthDay()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var owner = await yard.SubscribeAsync(yard.OwnerId);
        await yard.SubscribeAsync(yard.ManagerId);
        await yard.SeeAsync("rub");

        await yard.LiveAsync(TimeSpan.FromDays(8));

        Assert.Equal(["2026-12-01 overdue saddle-sign"], await HeardAsync(yard, owner));
    }

    [Fact]
    public async Task Fitter_hearsOfWhatIsBookedWithThem_andThatItFallsThrough()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var fitter = await yard.SubscribeAsync(yard.FitterId);
        await yard.SubscribeAsync(yard.ManagerId);
        await yard.SeeAsync("rub");
        Assert.Empty(await yard.LettersAsync(fitter));

        await yard.MoveCheckAsync("fit", "book", new { on = yard.Day(1), fitterId = yard.FitterId });
        Assert.Equal("2026-11-26", Assert.Single(await yard.LettersAsync(fitter)).Body["lines"]![0]!["bookedOn"]!.GetValue<string>());
        await yard.MoveCheckAsync("fit", "unbook", new { reason = "The van broke down." });

        Assert.Equal(["2026-11-25 raised saddle-sign", "2026-11-25 changed saddle-sign"], await HeardAsync(yard, fitter));
    }

    [Fact]
    public async Task Digest_groupsAYardIntoOneLetter_andTwoYardsIntoTwo()
    {
        await using var service = await AlertYard.StartAsync();
        var (larkfield, mill) = (await AlertYard.SettleAsync(service), await AlertYard.SettleAsync(service, name: "Mill Bottom"));
        var desk = await larkfield.SubscribeAsync([larkfield.YardId, mill.YardId], null);
        foreach (var name in new[] { "Sorrel", "Teasel" }) // Never measured: both ask for it, in the ordinary run.
            await service.Admin.MakeAsync("/v1/horses", new { yardId = larkfield.YardId, name });
        await service.Admin.MakeAsync("/v1/horses", new { yardId = mill.YardId, name = "Fen" });

        await larkfield.LiveAsync(TimeSpan.FromDays(2));

        var letters = await larkfield.LettersAsync(desk);
        Assert.Equal([(larkfield.YardId, 2), (mill.YardId, 1)], letters.Where(letter => letter.At.Day == 26).Select(letter => (letter.YardId, letter.Lines.Count())));
        Assert.All(letters, letter => Assert.Equal(("digest", 7), (letter.Occasion, letter.At.Hour)));
    }

    [Fact]
    public async Task Digest_withNothingToSay_isNotWritten()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);

        await yard.LiveAsync(TimeSpan.FromDays(3));

        Assert.Empty(await yard.LettersAsync(ada));
    }

    [Fact]
    public async Task Week_onMondayTellsWhatIsBookedWithSomebody()
    {
        await using var service = await AlertYard.StartAsync(); // A Wednesday.
        var yard = await AlertYard.SettleAsync(service);
        var fitter = await yard.SubscribeAsync(yard.FitterId);
        var idle = await yard.SubscribeAsync(await yard.PersonAsync("Gethin Rhys", "fitter"));
        await yard.SeeAsync("rub");
        await yard.MoveCheckAsync("fit", "book", new { on = "2026-12-04", fitterId = yard.FitterId });

        await yard.LiveAsync(TimeSpan.FromDays(9));

        var week = Assert.Single(await yard.LettersAsync(fitter), letter => letter.Occasion == "week");
        Assert.Equal("2026-11-30T07:00", week.At.ToString("yyyy-MM-ddTHH:mm", CultureInfo.InvariantCulture));
        Assert.Equal(("2026-12-04", "Bramble", "fit"), (week.Body["visits"]![0]!["on"]!.GetValue<string>(), week.Body["visits"]![0]!["horseName"]!.GetValue<string>(), week.Body["visits"]![0]!["kind"]!.GetValue<string>()));
        Assert.DoesNotContain(await yard.LettersAsync(idle), letter => letter.Occasion == "week");
    }

    [Fact]
    public async Task Week_marksAHorseThatAVetMustSeeFirst()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var fitter = await yard.SubscribeAsync(yard.FitterId);
        await yard.SeeAsync("rub");
        await yard.MoveCheckAsync("fit", "book", new { on = "2026-12-04", fitterId = yard.FitterId });
        await yard.SeeAsync("open-sore");

        await yard.LiveAsync(TimeSpan.FromDays(5));

        var week = Assert.Single(await yard.LettersAsync(fitter), letter => letter.Occasion == "week");
        Assert.True(week.Body["visits"]![0]!["isVetFirst"]!.GetValue<bool>());
    }

    [Fact]
    public async Task VetFirst_thatEveryAddressLeavesOut_goesToTheManagerAllTheSame()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var (ada, fitter) = (await yard.SubscribeAsync(yard.ManagerId, "backtracker.check.opened.v1"), await yard.SubscribeAsync(yard.FitterId, "backtracker.check.closed.v1"));

        await yard.SeeAsync("open-sore");

        Assert.Equal(["raised vet-first"], (await yard.LettersAsync(ada)).SelectMany(letter => letter.Lines));
        Assert.Empty(await yard.LettersAsync(fitter));
    }

    [Fact]
    public async Task VetFirst_acknowledged_climbsAllTheSame()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var (_, fitter, owner) = (await yard.SubscribeAsync(yard.ManagerId), await yard.SubscribeAsync(yard.FitterId), await yard.SubscribeAsync(yard.OwnerId));
        await yard.SeeAsync("open-sore");
        await yard.AcknowledgeAsync(await yard.AlertAsync("vet-first"));

        await yard.LiveAsync(TimeSpan.FromDays(7));

        Assert.Equal(["2026-11-28 overdue vet-first"], await HeardAsync(yard, fitter));
        Assert.Equal(["2026-12-01 overdue vet-first"], await HeardAsync(yard, owner));
    }

    [Fact]
    public async Task Booking_overtakenByASign_isToldAndLeftWhereItIs()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var ada = await yard.SubscribeAsync(yard.ManagerId);
        await yard.SeeAsync("rub");
        await yard.MoveCheckAsync("fit", "postpone", new { until = "2026-12-05", reason = "Resting.", acceptRisk = true });
        await yard.MoveCheckAsync("fit", "book", new { on = "2026-12-05", fitterId = yard.FitterId });

        await yard.SeeAsync("dry-patch");

        var line = (await yard.LettersAsync(ada)).SelectMany(letter => letter.Body["lines"]!.AsArray()).Single(line => line!["text"]!.GetValue<string>().StartsWith("Booked for", StringComparison.Ordinal))!;
        Assert.StartsWith("Booked for 5 December 2026, but wanted by 25 November 2026 now", line["text"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Equal("now", line["urgency"]!.GetValue<string>());
        Assert.Equal("2026-12-05", (await service.Admin.GetAsync("/v1/checks?state=booked")).Items[0]!["bookedOn"]!.GetValue<string>());
    }

    [Fact]
    public async Task Subscription_thatChoosesEvents_isToldOfThoseOnly()
    {
        await using var service = await AlertYard.StartAsync();
        var yard = await AlertYard.SettleAsync(service);
        var vetOnly = await yard.SubscribeAsync(yard.ManagerId, "backtracker.observation.vet-first.v1");
        await yard.SeeAsync("rub");
        await yard.SeeAsync("open-sore");

        Assert.Equal(["raised vet-first"], (await yard.LettersAsync(vetOnly)).SelectMany(letter => letter.Lines));
        Assert.Equal(["not-told: their subscription leaves out backtracker.check.opened.v1"], await yard.DecisionsAsync(await yard.AlertAsync("saddle-sign"), vetOnly));
    }

    /// <summary>"2026-11-25 raised saddle-sign": what a receiver was told of, by day.</summary>
    private static async Task<IEnumerable<string>> HeardAsync(AlertYard yard, string subscriptionId) =>
        (await yard.LettersAsync(subscriptionId)).SelectMany(letter => letter.Lines.Select(line => $"{letter.At:yyyy-MM-dd} {line}"));
}
