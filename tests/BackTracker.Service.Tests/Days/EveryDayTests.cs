using System.Globalization;
using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Service.Tests.Alerts;
using BackTracker.Service.Tests.Calendars;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Days;

/// <summary>Days are days in the yard: nothing comes a day early or late, twice or not at all, whatever clocks do.</summary>
public sealed partial class EveryDayTests
{
    [Theory, MemberData(nameof(DayCase.All), MemberType = typeof(DayCase))]
    public async Task Everything_comesOnItsDay_once(string zone, string day, string changesAt, int before, int after)
    {
        await using var days = await DaysYard.OpenAsync(DayCase.Of(zone, day, changesAt, before, after));
        await days.LiveUntilTheNightBeforeAsync();
        days.Digests.Clear();
        await days.LiveAsync(days.Case.At(3, "12:00"), TimeSpan.FromMinutes(30));

        Assert.Equal(["0 07:00", "1 07:00", "2 07:00", "3 07:00"], days.Digests);
        Assert.All(["Bramble", "Merlin"], horse => Assert.Equal(["opened 0 at -7 03:00", "due 0 at 0 03:00", "overdue 0 at 1 03:00"], days.Told(horse, "remeasure")));
        Assert.Equal(["opened -3 at -3 12:00", "due -3 at -3 12:00", "booked -3 at -3 12:00", "overdue -3 at -2 03:00"], days.Told("Sorrel", "fit"));
        Assert.Equal(["opened -1 at -1 22:00", "due -1 at -1 22:00", "overdue -1 at 0 03:00"], days.Told("Teasel", "fit"));
        await days.ShouldHaveReceivedEverythingOnceAsync();
        await ShouldHaveBeenWrittenAsync(days);
        await ShouldLieInTheCalendarAsync(days);
        await days.ShouldHaveNothingToDoAsync();
    }

    [Theory, MemberData(nameof(DayCase.All), MemberType = typeof(DayCase))]
    public async Task Today_isTheYardsDay_lateInTheEveningAndJustAfterMidnight(string zone, string day, string changesAt, int before, int after)
    {
        var around = DayCase.Of(zone, day, changesAt, before, after);
        await using var service = await AlertYard.StartAsync(now: DaysYard.Text(around.At(-3, "12:00")));
        var yard = await AlertYard.SettleAsync(service, zone);
        await yard.SeeAsync("rub");
        var path = $"/v1/checks/{(await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(check => check!["kind"]!.GetValue<string>() == "fit")!["id"]}";
        foreach (var (today, time) in new[] { (-1, "23:30"), (0, "00:30"), (0, "23:30"), (1, "00:30") })
        {
            service.Clock.AdjustTime(around.At(today, time));
            Task<Reply> Act(string action, object body) => service.Admin.PostAsync($"{path}/{action}", body, ("If-Match", "*"));

            (await Act("book", new { on = around.On(today - 1), fitterId = yard.FitterId })).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
            (await Act("postpone", new { until = around.On(today - 1), reason = "Away." })).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
            (await Act("complete", new { on = around.On(today + 1), by = yard.FitterId })).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
            (await service.Admin.PostAsync("/v1/quiet-periods", new { yardId = yard.YardId, until = around.On(today - 1), reason = "Closed." })).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
            (await Act("book", new { on = around.On(today), fitterId = yard.FitterId })).Should(HttpStatusCode.OK);
            (await Act("unbook", new { reason = "Snow." })).Should(HttpStatusCode.OK);
            if ((today, time) is (_, "23:30"))
                (await Act("postpone", new { until = around.On(today), reason = "Away.", acceptRisk = true })).Should(HttpStatusCode.OK);
        }
    }

    // UTC+14 and UTC-11 (IANA tz database, file australasia): at 10:30 UTC it is 00:30 on the 2nd in the one and 23:30 on the last day of May in the other.
    [Fact]
    public async Task TwoYards_aDayApart_haveTwoDaysAtOneInstant()
    {
        await using var service = await AlertYard.StartAsync(now: "2027-06-01T10:30:00Z");
        var (kiritimati, pagoPago) = (await AlertYard.SettleAsync(service, "Pacific/Kiritimati"), await AlertYard.SettleAsync(service, "Pacific/Pago_Pago", "Mill Bottom"));

        service.Clock.AdjustTime(DateTimeOffset.Parse("2027-07-05T14:30:00Z", CultureInfo.InvariantCulture)); // 03:30 on the 5th in Pago Pago, 04:30 on the 6th in Kiritimati.
        await pagoPago.WorkAsync();
        Assert.Equal([("2027-07-12", "2027-07-05")], await RemeasuresAsync(pagoPago));
        Assert.Empty(await RemeasuresAsync(kiritimati));
        service.Clock.AdjustTime(service.Clock.GetUtcNow().AddDays(1));
        await pagoPago.WorkAsync();

        Assert.Equal([("2027-07-14", "2027-07-07")], await RemeasuresAsync(kiritimati));
    }

    private static async Task<IEnumerable<(string DueOn, string OpensOn)>> RemeasuresAsync(AlertYard yard) => (await yard.Admin.GetAsync($"/v1/checks?yardId={yard.YardId}"))
        .Items.Where(check => check!["kind"]!.GetValue<string>() == "remeasure").Select(check => (check!["dueOn"]!.GetValue<string>(), check["opensOn"]!.GetValue<string>()));

    private static async Task ShouldHaveBeenWrittenAsync(DaysYard days)
    {
        Assert.Equal(
            [
                "digest -7 07:00 raised Bramble", "digest -7 07:00 raised Merlin", "at-once -3 12:00 raised Sorrel", "at-once -3 12:00 raised Wren", "at-once 0 06:30 raised Teasel",
                "digest 1 07:00 overdue Sorrel", "digest 1 07:00 raised Fen", "digest 1 07:00 overdue Bramble", "digest 1 07:00 overdue Merlin", "digest 3 07:00 overdue Wren",
            ], await days.WrittenAsync(days.Manager));
        var week = days.Case.WeekBegins;
        string[] visits = week > 0 ? ["Wren 2"] : ["Sorrel 0", "Wren 2"];
        Assert.Equal(visits.Select(visit => $"week {week} 07:00 {visit}"), (await days.WrittenAsync(days.Fitter)).Where(line => line.StartsWith("week", StringComparison.Ordinal)));
    }

    private static async Task ShouldLieInTheCalendarAsync(DaysYard days)
    {
        var calendar = await (await Subscriber.OfAsync(days.Service, days.Yard.FitterId)).TextAsync();
        foreach (var (horse, day) in new[] { ("Sorrel", 0), ("Wren", 2) })
        {
            var check = (await days.CheckAsync(horse, "fit"))["id"]!.GetValue<string>();
            var entry = Assert.Single(calendar.Split("BEGIN:VEVENT"), entry => entry.Contains($"UID:{check}", StringComparison.Ordinal));
            Assert.Equal(days.Case.On(day).Replace("-", "", StringComparison.Ordinal), WholeDay().Match(entry).Groups[1].Value);
        }
    }

    [GeneratedRegex(@"DTSTART;VALUE=DATE:(\d{8})")]
    private static partial Regex WholeDay();
}
