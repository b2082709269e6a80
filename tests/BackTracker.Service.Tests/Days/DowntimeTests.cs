using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Days;

/// <summary>After days in which nobody worked, over a change of clocks, everything comes once and says its true day.</summary>
public sealed class DowntimeTests
{
    // The nights of the changes: IANA tz database. The service is away from 22:30 before the day, and back at the hour two or three days after.
    [Theory]
    [InlineData(StoreKind.Sqlite, "Europe/London", "2027-03-28", "2027-03-28T01:00Z", 0, 60, 2, "22:30", "3 06:30", "3 07:00")]
    [InlineData(StoreKind.Sqlite, "America/Los_Angeles", "2027-11-07", "2027-11-07T09:00Z", -420, -480, 3, "12:00", "3 12:00", "3 12:00")]
    [InlineData(StoreKind.Postgres, "Australia/Lord_Howe", "2027-10-03", "2027-10-02T15:30Z", 630, 660, 3, "06:00", "3 06:30", "3 07:00")]
    public async Task WhatFellDueMeanwhile_isRaisedOnce_inOrder_withItsTrueDay(
        StoreKind store, string zone, string day, string changesAt, int before, int after, int backOn, string backAt, string night, string digest)
    {
        await using var days = await DaysYard.OpenAsync(DayCase.Of(zone, day, changesAt, before, after), store);
        await days.LiveUntilTheNightBeforeAsync();
        days.Digests.Clear();
        var back = days.Case.At(backOn, backAt);
        days.Service.Clock.AdjustTime(back);
        await days.WorkAsync();
        await days.LiveAsync(days.Case.At(3, "18:00"), TimeSpan.FromMinutes(30));

        Assert.Equal([digest], days.Digests);
        var worked = days.Case.Local(back);
        Assert.All(["Bramble", "Merlin"], horse => Assert.Equal(["opened 0 at -7 03:00", $"due 0 at {worked}", $"overdue 0 at {worked}"], days.Told(horse, "remeasure")));
        Assert.Equal(["opened -1 at -1 22:00", "due -1 at -1 22:00", $"overdue -1 at {worked}"], days.Told("Teasel", "fit"));
        var written = await days.WrittenAsync(days.Manager);
        Assert.Equal([$"at-once {night} raised Teasel"], written.Where(line => line.EndsWith("Teasel", StringComparison.Ordinal)));
        Assert.Equal(
            new[] { "overdue Sorrel", "raised Fen", "overdue Bramble", "overdue Merlin", "overdue Wren" }.Select(line => $"digest {digest} {line}").Order(),
            written.Where(line => line.StartsWith("digest", StringComparison.Ordinal) && !line.StartsWith("digest -7", StringComparison.Ordinal)).Order());
        await days.ShouldHaveReceivedEverythingOnceAsync();
        await days.ShouldHaveNothingToDoAsync();
    }
}
