using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>A yard in London that goes by a clock somebody sets, around the day on which London's clocks change.</summary>
internal sealed class ClockYard(Client client, Receiver receiver, SetClock clock, int changesAhead)
{
    private const int DaysToTheNextMeasuring = 28;
    private static readonly TimeZoneInfo Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/London");
    private string _yardId = "";
    private string _personId = "";

    /// <summary>The instant of a change: the next, or the one after it.</summary>
    public static DateTimeOffset ChangeOf(int changesAhead)
    {
        var instant = new DateTimeOffset(DateTimeOffset.UtcNow.UtcDateTime.Date.AddDays(30), TimeSpan.Zero);
        for (var change = 0; ; instant = instant.AddMinutes(30))
            if (Zone.GetUtcOffset(instant.AddMinutes(-30)) != Zone.GetUtcOffset(instant) && change++ == changesAhead)
                return instant;
    }

    /// <summary>A time of a day counted from that of the change, on the yard's clock.</summary>
    public static DateTimeOffset At(int changesAhead, int day, string time)
    {
        var local = DateTime.SpecifyKind(TimeZoneInfo.ConvertTime(ChangeOf(changesAhead), Zone).Date.AddDays(day) + TimeSpan.Parse(time, CultureInfo.InvariantCulture), DateTimeKind.Unspecified);
        return new DateTimeOffset(local, Zone.GetUtcOffset(local)).ToUniversalTime();
    }

    public async Task SettleAsync()
    {
        _yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        _personId = await client.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { _yardId } });
        await client.MakeAsync("/v1/subscriptions", new { url = receiver.Url, yardIds = new[] { _yardId } });
    }

    /// <summary>A horse that is to be measured again on a day.</summary>
    public async Task<string> HorseAsync(string name, int dueDay)
    {
        var horse = await client.MakeAsync("/v1/horses", new { yardId = _yardId, name, bornOn = "2014-05-01" });
        await client.MakeAsync($"/v1/horses/{horse}/measurements", new
        {
            measuredAt = At(changesAhead, dueDay - DaysToTheNextMeasuring, "00:30"),
            measuredBy = _personId,
            method = "calliper",
            exercise = "before",
            widths = new[] { new { station = "T13", depthMm = 150, widthMm = 318 } },
        });
        var saddleId = await client.MakeAsync("/v1/saddles", new { yardId = _yardId, label = name, tree = "adjustable", filling = "foam" });
        await client.MakeAsync($"/v1/saddles/{saddleId}/tree-shapes", new { from = Day(dueDay - DaysToTheNextMeasuring), stations = new[] { new { station = "T13", width150Mm = 320 } } });
        await client.MakeAsync("/v1/pairings", new { horseId = horse, saddleId, from = Day(dueDay - DaysToTheNextMeasuring), weeklyMinutes = 240 });
        return horse;
    }

    /// <summary>Sets the clock and waits until the service goes by it.</summary>
    public Task SetAsync(int day, string time) => SetAsync(At(changesAhead, day, time));

    /// <summary>The same at an instant.</summary>
    public async Task SetAsync(DateTimeOffset instant)
    {
        clock.Set(instant);
        await Eventually.TrueAsync(async () => (clock.Now - await client.TimeAsync()).Duration() < TimeSpan.FromMinutes(1), () => "The service goes by another clock.");
    }

    /// <summary>
    /// "due 0 on 0": what was told of the next measuring of a horse: the day that it named, and the yard's day on which it was told. Apart from the
    /// first measuring, which is asked for where the horse is looked at before it is there.
    /// </summary>
    public IReadOnlyList<string> Told(string horse)
    {
        var all = receiver.Received.Where(told => told["subject"]!.GetValue<string>() == horse && told["data"]!["kind"]?.GetValue<string>() == "remeasure")
            .Select(told => $"{told["type"]!.GetValue<string>()["backtracker.check.".Length..^3]} {DaysFromChange(DateOnly.Parse(told["data"]!["dueOn"]!.GetValue<string>(), CultureInfo.InvariantCulture))} on {DaysFromChange(DayOf(told["time"]!.GetValue<DateTimeOffset>()))}")
            .ToList();
        return all[(all.FindLastIndex(told => told.StartsWith("closed", StringComparison.Ordinal)) + 1)..];
    }

    public Task ToldAsync(string horse, params string[] expected) => Eventually.TrueAsync(
        () => Task.FromResult(Told(horse).SequenceEqual(expected)), () => $"Told was [{string.Join(", ", Told(horse))}] and not [{string.Join(", ", expected)}].", withinSeconds: 90);

    public IReadOnlyList<JsonNode> Everything => receiver.Received;

    private string Day(int day) => DayOf(At(changesAhead, day, "12:00")).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private int DaysFromChange(DateOnly day) => day.DayNumber - DayOf(ChangeOf(changesAhead)).DayNumber;

    private static DateOnly DayOf(DateTimeOffset instant) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(instant, Zone).DateTime);
}
