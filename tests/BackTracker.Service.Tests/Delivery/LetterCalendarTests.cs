using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Service.Tests.Calendars;
using BackTracker.Service.Tests.Harness;
using MimeKit;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>The calendar entries of letters, as a calendar program gets them.</summary>
public sealed class LetterCalendarTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Check_withADay_isAttached(StoreKind store)
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings, store);
        var check = await CheckAsync(yard);

        await yard.WaitSentAsync(await yard.WriteAsync(yard.Letter() with { Lines = [yard.Line() with { CheckId = check }] }));

        var part = Assert.IsType<TextPart>(Assert.Single(Assert.Single(office.Letters).Attachments));
        Assert.Equal(("text/calendar", "PUBLISH", "utf-8", "backtracker.ics"), (part.ContentType.MimeType, part.ContentType.Parameters["method"], part.ContentType.Charset, part.FileName));
        var calendar = await ReadCalendar.OfAsync(part.Text);
        Assert.Equal("PUBLISH", calendar["METHOD"]);
        var entry = Assert.Single(calendar.Entries);
        Assert.Equal((check, $"https://horses.test/checks/{check}"), (entry["UID"], entry["URL"]));
        Assert.Contains("Bramble", entry["SUMMARY"], StringComparison.Ordinal);
    }

    [Fact]
    public async Task Week_holdsOneEntryForAVisit()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(new() { Mail = office.Mail });
        var check = await CheckAsync(yard);
        var visit = await yard.Service.Admin.MakeAsync("/v1/visits", new { yardId = yard.Yard.YardId, fitterId = yard.Yard.FitterId, on = "2026-11-26", checkIds = new[] { check } });

        await yard.WaitSentAsync(await yard.WriteAsync(new Letter("Larkfield", yard.Yard.Today, [], [new(new(2026, 11, 26), "Bramble", CheckKind.Refit, check, "The tree is narrow.", false)]), occasion: "week"));

        var entry = Assert.Single((await ReadCalendar.OfAsync(((TextPart)office.Letters[0].Attachments.Single()).Text)).Entries);
        Assert.Equal((visit, "2026-11-26", null), (entry["UID"], entry["DTSTART"], entry["URL"]));
    }

    [Fact]
    public async Task Letter_whoseChecksAreOver_hasNoEntry()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        var check = await CheckAsync(yard);

        await yard.WaitSentAsync(await yard.WriteAsync(yard.Letter() with { Lines = [yard.Line() with { CheckId = check, News = AlertNews.Settled }, yard.Line()] }));

        Assert.Empty(Assert.Single(office.Letters).Attachments);
    }

    /// <summary>A check of the saddle that the service opened.</summary>
    private static async Task<string> CheckAsync(MailYard yard)
    {
        await yard.Yard.MeasureAsync(332);
        await yard.Service.SettledAsync();
        return (await yard.Service.Admin.GetAsync($"/v1/checks?horseId={yard.Yard.HorseId}&state=open")).Items.First(check => check!["pairingId"] is not null)!["id"]!.GetValue<string>();
    }
}
