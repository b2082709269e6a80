using System.Net;
using BackTracker.Service.Tests.Harness;
using BackTracker.Service.Tests.Visits;

namespace BackTracker.Service.Tests.Calendars;

/// <summary>
/// What people see in their calendars, read back by python3-icalendar. A UID stays and SEQUENCE rises when a day or a status changes: RFC 5546
/// 2.1.4 and 2.1.5, RFC 5545 3.8.7.4.
/// </summary>
public sealed class CalendarFeedTests
{
    private const string Later = "2026-12-02";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task CheckOpenedBookedFallenThroughRebookedAndDone_isOneEntryOfTheManager_whoseSequenceRises(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var world = await VisitingYard.SettleAsync(service);
        var manager = await Subscriber.OfAsync(service, world.Yard.ManagerId);
        var (check, path) = (world.Checks[0], $"/v1/checks/{world.Checks[0]}");
        var due = VisitingYard.Text((await world.CheckAsync(0))["dueOn"]);
        var seen = new List<ReadEntry> { (await manager.ReadAsync()).Entry(check) };

        async Task Step(string action, object body)
        {
            service.Clock.Advance(TimeSpan.FromMinutes(1));
            (await world.ActAsync(path, action, body)).Should(HttpStatusCode.OK);
            seen.Add((await manager.ReadAsync()).Entry(check));
        }
        await Step("book", new { on = VisitingYard.Tomorrow, fitterId = world.Yard.FitterId });
        await Step("unbook", new { reason = "Snow." });
        await Step("book", new { on = VisitingYard.Today, fitterId = world.Yard.FitterId });
        await Step("complete", new { on = VisitingYard.Today, by = world.Yard.FitterId, findings = new[] { "Narrow." } });

        Assert.Equal([("TENTATIVE", due), ("CONFIRMED", VisitingYard.Tomorrow), ("TENTATIVE", due), ("CONFIRMED", VisitingYard.Today), ("CONFIRMED", VisitingYard.Today)], seen.Select(entry => entry.Standing));
        Assert.Equal(seen.Select(entry => entry.Sequence).Distinct().Order(), seen.Select(entry => entry.Sequence));
        Assert.Equal(["Re-fit: Bramble", "Re-fit: Bramble (done)"], new[] { seen[0]["SUMMARY"], seen[^1]["SUMMARY"] });
        Assert.All(seen, entry => Assert.True(entry.IsWholeDay));
        Assert.All(seen, entry => Assert.Equal(entry["DTSTAMP"], entry["LAST-MODIFIED"]));
        Assert.StartsWith("2026-11-25T09:04:00", seen[^1]["LAST-MODIFIED"], StringComparison.Ordinal);
        Assert.Equal([[7 * 3600], [7 * 3600], [7 * 3600], [7 * 3600], []], seen.Select(entry => entry.AlarmSeconds));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Fitter_seesTheirBookings_andThoseThatAreTheirsNoLongerAsCancelled_forThirtyDays(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var world = await VisitingYard.SettleAsync(service);
        var otherId = await world.Admin.MakeAsync("/v1/people", new { name = "Ada Finch", role = "saddler", yardIds = new[] { world.Yard.YardId } });
        var (fitter, other) = (await Subscriber.OfAsync(service, world.Yard.FitterId), await Subscriber.OfAsync(service, otherId));
        Assert.Empty((await fitter.ReadAsync()).Entries);

        async Task Act(int check, string action, object body) => (await world.ActAsync($"/v1/checks/{world.Checks[check]}", action, body)).Should(HttpStatusCode.OK);
        for (var i = 0; i < 3; i++)
            await Act(i, "book", new { on = VisitingYard.Tomorrow, fitterId = world.Yard.FitterId });
        var booked = await fitter.ReadAsync();
        Assert.All(world.Checks, check => Assert.Equal(("CONFIRMED", VisitingYard.Tomorrow), booked.Entry(check).Standing));

        await Act(0, "unbook", new { reason = "Ill." });
        await Act(0, "book", new { on = Later, fitterId = otherId });
        await Act(1, "unbook", new { reason = "Ill." });
        await Act(2, "drop", new { reason = "Sold the saddle." });

        var gone = await fitter.ReadAsync();
        Assert.All(world.Checks, check => Assert.Equal(("CANCELLED", VisitingYard.Tomorrow), gone.Entry(check).Standing));
        Assert.All(world.Checks, check => Assert.True(gone.Entry(check).Sequence > booked.Entry(check).Sequence));
        Assert.All(gone.Entries, entry => Assert.Empty(entry.AlarmSeconds));
        Assert.Equal(("CONFIRMED", Later), Assert.Single((await other.ReadAsync()).Entries).Standing);

        service.Clock.Advance(TimeSpan.FromDays(30));
        Assert.Equal(3, (await fitter.ReadAsync()).Entries.Count);
        service.Clock.Advance(TimeSpan.FromMinutes(1));
        Assert.Empty((await fitter.ReadAsync()).Entries);
        Assert.Single((await other.ReadAsync()).Entries);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Visit_isOneEntryWithALineForEachCheck_thatMovesAndFallsThrough(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var world = await VisitingYard.SettleAsync(service);
        var riderId = await world.Admin.MakeAsync("/v1/people", new { name = "Ben Low", role = "rider", yardIds = new[] { world.Yard.YardId } });
        var path = await world.PlanAsync(VisitingYard.Tomorrow, world.Checks[0], world.Checks[1]);
        var id = path.Split('/')[^1];
        Subscriber[] all = [await Subscriber.OfAsync(service, world.Yard.FitterId), await Subscriber.OfAsync(service, world.Yard.ManagerId), await Subscriber.OfAsync(service, riderId)];
        var planned = await all[0].ReadAsync();

        Assert.Equal(("CONFIRMED", VisitingYard.Tomorrow), Assert.Single(planned.Entries).Standing);
        Assert.Equal("Visit to Larkfield: 2 checks", planned.Entry(id)["SUMMARY"]);
        Assert.Contains("Bramble, Bramble's saddle: re-fit, due", planned.Entry(id)["DESCRIPTION"], StringComparison.Ordinal);
        Assert.Contains("Ring the bell.", planned.Entry(id)["DESCRIPTION"], StringComparison.Ordinal);
        Assert.EndsWith($"/visits/{id}", planned.Entry(id)["URL"], StringComparison.Ordinal);

        (await world.ActAsync(path, "move", new { on = Later, reason = "Snow." })).Should(HttpStatusCode.OK);
        foreach (var subscriber in all)
            Assert.Equal(("CONFIRMED", Later), (await subscriber.ReadAsync()).Entry(id).Standing);
        var moved = (await all[0].ReadAsync()).Entry(id);
        (await world.ActAsync(path, "fall-through", new { reason = "Ice." })).Should(HttpStatusCode.OK);

        foreach (var subscriber in all)
            Assert.Equal(("CANCELLED", Later), (await subscriber.ReadAsync()).Entry(id).Standing);
        var fallen = (await all[0].ReadAsync()).Entry(id);
        Assert.Equal([0, 1, 2], new[] { planned.Entry(id).Sequence, moved.Sequence, fallen.Sequence });
        Assert.Single((await all[0].ReadAsync()).Entries);
        Assert.Equal("TENTATIVE", (await all[1].ReadAsync()).Entry(world.Checks[0])["STATUS"]);
    }

    [Theory]
    [InlineData("yard-manager")]
    [InlineData("owner")]
    public async Task WhoeverRunsTheYard_isToldByWhenToBook_andNoLongerOnceItIsBooked(string role)
    {
        await using var service = await RunningService.StartAsync(now: "2026-03-02T08:00:00Z");
        var yard = await TracedYard.SettleAsync(service);
        foreach (var wider in new[] { 0, 0, 0, 4, 8 })
        {
            await yard.MeasureAsync(new() { WiderMm = wider });
            await service.PassDaysAsync(28);
        }
        var check = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.First(c => VisitingYard.Text(c!["kind"]) == "fit" && VisitingYard.Text(c["bookBy"]) != VisitingYard.Text(c["dueOn"]))!;
        var id = VisitingYard.Text(check["id"])!;
        var managerId = await service.Admin.MakeAsync("/v1/people", new { name = "Isla Brook", role, yardIds = new[] { yard.YardId } });
        var manager = await Subscriber.OfAsync(service, managerId);

        var open = (await manager.ReadAsync()).Entry($"{id}-book-by");
        Assert.Equal(("TENTATIVE", VisitingYard.Text(check["bookBy"])), open.Standing);
        Assert.Equal([-17 * 3600, 7 * 3600], open.AlarmSeconds);
        (await service.Admin.PostAsync($"/v1/checks/{id}/book", new { on = VisitingYard.Text(check["dueOn"]), fitterId = yard.FitterId }, ("If-Match", "*"))).Should(HttpStatusCode.OK);

        var booked = (await manager.ReadAsync()).Entry($"{id}-book-by");
        Assert.Equal("CANCELLED", booked["STATUS"]);
        Assert.True(booked.Sequence > open.Sequence);
        Assert.Empty(booked.AlarmSeconds);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task CheckThatJoinsAVisit_isCancelledAsAnEntryOfItsOwn_andComesBackWhenItLeaves(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var world = await VisitingYard.SettleAsync(service);
        var (check, path) = (world.Checks[0], $"/v1/checks/{world.Checks[0]}");
        var due = VisitingYard.Text((await world.CheckAsync(0))["dueOn"]);
        var (manager, fitter) = (await Subscriber.OfAsync(service, world.Yard.ManagerId), await Subscriber.OfAsync(service, world.Yard.FitterId));
        var seen = new List<(ReadEntry Manager, ReadEntry Fitter)>();

        async Task Step(string of, string action, object body)
        {
            service.Clock.Advance(TimeSpan.FromMinutes(1));
            (await world.ActAsync(of, action, body)).Should(HttpStatusCode.OK);
            seen.Add(((await manager.ReadAsync()).Entry(check), (await fitter.ReadAsync()).Entry(check)));
        }
        await Step(path, "book", new { on = VisitingYard.Tomorrow, fitterId = world.Yard.FitterId });
        await Step(path, "unbook", new { reason = "Others are due as well." });
        var visit = await world.PlanAsync(Later, world.Checks[1]);
        await Step(visit, "add", new { checkIds = new[] { check } });
        var joined = (await fitter.ReadAsync()).Entry(visit.Split('/')[^1]);
        await Step(visit, "fall-through", new { reason = "Ice." });
        await Step(path, "book", new { on = Later, fitterId = world.Yard.FitterId });

        Assert.Equal([("CONFIRMED", VisitingYard.Tomorrow), ("TENTATIVE", due), ("CANCELLED", due), ("TENTATIVE", due), ("CONFIRMED", Later)], seen.Select(entry => entry.Manager.Standing));
        Assert.Equal([("CONFIRMED", VisitingYard.Tomorrow), .. Enumerable.Repeat<(string?, string?)>(("CANCELLED", VisitingYard.Tomorrow), 3), ("CONFIRMED", Later)], seen.Select(entry => entry.Fitter.Standing));
        Assert.Equal(seen.Select(entry => entry.Manager.Sequence).Distinct().Order(), seen.Select(entry => entry.Manager.Sequence));
        Assert.True(seen[0].Fitter.Sequence < seen[1].Fitter.Sequence && seen[3].Fitter.Sequence < seen[4].Fitter.Sequence);
        Assert.Contains("It is part of a visit, which has an entry of its own.", seen[2].Manager["DESCRIPTION"], StringComparison.Ordinal);
        Assert.Empty(seen[2].Manager.AlarmSeconds);
        Assert.Contains("Bramble, Bramble's saddle: re-fit", joined["DESCRIPTION"], StringComparison.Ordinal);
    }

    [Fact]
    public async Task Feed_whereThePagesHaveAPublicAddress_linksThere()
    {
        await using var service = await RunningService.StartAsync(settings: new() { Pages = new() { Address = "https://horses.test" } });
        var world = await VisitingYard.SettleAsync(service);
        var made = (await service.Admin.PostAsync($"/v1/people/{world.Yard.ManagerId}/calendar-token")).Should(HttpStatusCode.OK);
        var url = new Uri(VisitingYard.Text(made["url"])!);

        var calendar = await new Subscriber(new HttpClient(), $"{service.Address}{url.AbsolutePath}").ReadAsync();

        Assert.StartsWith("https://horses.test/v1/calendars/", url.AbsoluteUri, StringComparison.Ordinal);
        Assert.Equal(url.AbsoluteUri, calendar["SOURCE"]);
        Assert.Equal($"https://horses.test/checks/{world.Checks[0]}", calendar.Entry(world.Checks[0])["URL"]);
    }

    [Fact]
    public async Task Feed_ofTheSameFacts_hasTheSameBytesLater_andIsNotSentAgain()
    {
        await using var service = await RunningService.StartAsync();
        var world = await VisitingYard.SettleAsync(service);
        await world.PlanAsync(VisitingYard.Tomorrow, [.. world.Checks]);
        var fitter = await Subscriber.OfAsync(service, world.Yard.FitterId);
        using var first = await fitter.FetchAsync();
        var text = await first.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        service.Clock.Advance(TimeSpan.FromDays(9));

        Assert.Equal(text, await fitter.TextAsync());
        Assert.Equal("text/calendar; charset=utf-8", first.Content.Headers.ContentType!.ToString());
        using var again = await fitter.FetchAsync(ifNoneMatch: first.Headers.ETag!.ToString());
        Assert.Equal(HttpStatusCode.NotModified, again.StatusCode);
        Assert.Empty(await again.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken));
        using var head = await fitter.FetchAsync(HttpMethod.Head);
        Assert.Equal((HttpStatusCode.OK, first.Headers.ETag, first.Content.Headers.ContentLength), (head.StatusCode, head.Headers.ETag, head.Content.Headers.ContentLength));
        Assert.Equal("no-referrer", first.Headers.GetValues("Referrer-Policy").Single());
    }

    [Fact]
    public async Task Feed_saysOfItselfWhatSubscribersNeed()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var fitter = await Subscriber.OfAsync(service, yard.FitterId);

        var calendar = await fitter.ReadAsync();

        // RFC 7986 5.1, 5.7, 5.8; RFC 5545 3.7: no METHOD, because nobody is invited.
        Assert.Equal(("2.0", "BackTracker: Morwen Hale", "BackTracker: Morwen Hale", "PT1H", fitter.Url, null), (calendar["VERSION"], calendar["NAME"], calendar["X-WR-CALNAME"], calendar["REFRESH-INTERVAL"], calendar["SOURCE"], calendar["METHOD"]));
    }
}
