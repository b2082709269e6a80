using System.Text;
using BackTracker.Service.Delivery.Calendar;
using BackTracker.Storage.Calendars;

namespace BackTracker.Service.Tests.Calendars;

/// <summary>The file itself, as it is attached to messages too.</summary>
public sealed class CalendarFileTests
{
    private static readonly Uri Service = new("https://yard.example");

    private static readonly CalendarCheckRow Check = new()
    {
        Id = "0199f6c2-0000-7000-8000-000000000009",
        Kind = "fit",
        State = "booked",
        Urgency = "soon",
        HorseName = "Grüne Möwe, die; Zweite \\ 🐴",
        YardName = "Larkfield",
        SaddleLabel = "Old \"brown\" one",
        FitterName = "Morwen Hale",
        Reasons = $$"""[{"cause":"fit-check-age","text":"{{string.Concat(Enumerable.Repeat("🐴🐎 ", 60))}}: no fit check for 26 weeks,\nor more; said twice.","on":"2026-11-25"}]""",
        BookBy = "2026-11-01",
        DueOn = "2026-12-06",
        BookedOn = "2026-12-31",
        Sequence = 3,
        ChangedAt = "2026-11-25T09:00:00.000Z",
    };

    private static readonly CalendarVisitRow Visit = new()
    {
        Id = "0199f6c2-0000-7000-8000-000000000017",
        YardName = "Larkfield",
        FitterName = "Morwen Hale",
        OnDay = "2026-12-31",
        State = "planned",
        Note = "Ring, please; twice.",
        Sequence = 1,
        ChangedAt = "2026-11-25T09:00:00.000Z",
    };

    [Fact]
    public async Task CommasSemicolonsLineBreaksUmlautsAndEmoji_comeThrough()
    {
        var entry = (await ReadCalendar.OfAsync(Encoding.UTF8.GetString(CalendarFile.Published([CheckEntry.Of(Check)], Service)))).Entry(Check.Id);

        Assert.Equal($"Fit check: {Check.HorseName}", entry["SUMMARY"]);
        Assert.Contains(string.Concat(Enumerable.Repeat("🐴🐎 ", 60)) + ": no fit check for 26 weeks,\nor more; said twice.\n", entry["DESCRIPTION"], StringComparison.Ordinal);
        Assert.StartsWith("Larkfield, Old \"brown\" one.\nBooked for 31 December 2026 with Morwen Hale, due 6 December 2026.\n", entry["DESCRIPTION"], StringComparison.Ordinal);
        Assert.Equal($"https://yard.example/checks/{Check.Id}", entry["URL"]);
    }

    [Fact]
    public void Lines_endInCrLf_andAreAtMost75OctetsOfWholeCharacters()
    {
        var lines = Encoding.UTF8.GetString(CalendarFile.Published([CheckEntry.Of(Check)], Service)).Split("\r\n");

        // RFC 5545 3.1.
        Assert.Equal("", lines[^1]);
        Assert.All(lines, line => Assert.DoesNotContain('\n', line));
        Assert.All(lines, line => Assert.InRange(Encoding.UTF8.GetByteCount(line), 0, 75));
        Assert.All(lines, line => Assert.DoesNotContain('\uFFFD', line));
        Assert.Contains(lines, line => line.StartsWith(' '));
    }

    [Fact]
    public async Task WholeDay_endsOnTheDayAfter_acrossTheYear()
    {
        var entry = (await ReadCalendar.OfAsync(Encoding.UTF8.GetString(CalendarFile.Published([CheckEntry.Of(Check)], Service)))).Entry(Check.Id);

        // RFC 5545 3.6.1: DTEND is the end that is not included.
        Assert.Equal((true, "2026-12-31", "2027-01-01", "TRANSPARENT"), (entry.IsWholeDay, entry["DTSTART"], entry["DTEND"], entry["TRANSP"]));
        Assert.Equal((3, "CONFIRMED", "2026-11-25T09:00:00+00:00"), (entry.Sequence, entry["STATUS"], entry["DTSTAMP"]));
    }

    [Fact]
    public async Task Visit_toAttach_holdsItsChecks()
    {
        var entry = (await ReadCalendar.OfAsync(Encoding.UTF8.GetString(CalendarFile.Published([VisitEntry.Of(Visit, [Check])], Service)))).Entry(Visit.Id);

        Assert.Equal("Visit to Larkfield: 1 check", entry["SUMMARY"]);
        Assert.StartsWith($"Morwen Hale comes.\nRing, please; twice.\n{Check.HorseName}, Old \"brown\" one: fit check, due 6 December 2026.\n", entry["DESCRIPTION"], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("open", "fit", "TENTATIVE", "2026-12-06", "Not booked yet: book by 1 November 2026, due 6 December 2026.")]
    [InlineData("open", "remeasure", "TENTATIVE", "2026-12-06", "Due 6 December 2026.")]
    [InlineData("done", "fit", "CONFIRMED", "2026-12-30", "Done 30 December 2026.")]
    [InlineData("dropped", "fit", "CANCELLED", "2026-12-31", "Not needed any more: Covered by the re-fit.")]
    public async Task Check_inEachState_saysHowItStands(string state, string kind, string status, string on, string said)
    {
        var check = Check with { State = state, Kind = kind, DoneOn = "2026-12-30", ClosingNote = "Covered by the re-fit.", BookedOn = state == "open" ? null : Check.BookedOn };

        var entry = (await ReadCalendar.OfAsync(Encoding.UTF8.GetString(CalendarFile.Published([CheckEntry.Of(check)], Service)))).Entry(Check.Id);

        Assert.Equal((status, on), entry.Standing);
        Assert.Contains($"\n{said}\n", entry["DESCRIPTION"], StringComparison.Ordinal);
    }

    [Fact]
    public void Check_droppedFromAVisit_saysThatItIsNotNeeded()
    {
        var entry = CheckEntry.Of(Check with { State = "dropped", VisitId = Visit.Id, ClosingNote = "Covered by the re-fit." });

        Assert.Equal(EntryStatus.Cancelled, entry.Status);
        Assert.Contains("Not needed any more: Covered by the re-fit.", entry.Description);
    }
}
