using System.Diagnostics;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Calendars;

/// <summary>A calendar as python3-icalendar reads it, which shares nothing with the service.</summary>
internal sealed class ReadCalendar
{
    private ReadCalendar(JsonNode read) => Read = read;

    private JsonNode Read { get; }

    public IReadOnlyList<ReadEntry> Entries => [.. Read["events"]!.AsArray().Select(e => new ReadEntry(e!))];

    public string? this[string property] => Read["calendar"]![property]?.GetValue<string>();

    public ReadEntry Entry(string uid) => Assert.Single(Entries, entry => entry["UID"] == uid);

    public static async Task<ReadCalendar> OfAsync(string text)
    {
        var python = Environment.GetEnvironmentVariable("BACKTRACKER_TEST_CALENDAR_PYTHON");
        Assert.SkipWhen(string.IsNullOrEmpty(python), "No reader of calendars: scripts/test installs python3-icalendar where it can and names its Python in BACKTRACKER_TEST_CALENDAR_PYTHON.");
        var file = Path.GetTempFileName();
        try
        {
            await File.WriteAllTextAsync(file, text, TestContext.Current.CancellationToken);
            using var process = Process.Start(new ProcessStartInfo(python!, [Path.Combine(Repository.Root, "tests", "oracles", "calendar_reader.py"), file]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            var (output, error) = (process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken), process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken));
            await process.WaitForExitAsync(TestContext.Current.CancellationToken);
            Assert.True(process.ExitCode == 0, await error);
            return new ReadCalendar(JsonNode.Parse(await output)!);
        }
        finally
        {
            File.Delete(file);
        }
    }
}

/// <summary>An entry by the names of RFC 5545.</summary>
internal sealed record ReadEntry(JsonNode Node)
{
    public string? this[string property] => Node[property]?.GetValue<string>();

    public int Sequence => int.Parse(this["SEQUENCE"]!, System.Globalization.CultureInfo.InvariantCulture);

    /// <summary>Its status and the day it lies on.</summary>
    public (string? Status, string? On) Standing => (this["STATUS"], this["DTSTART"]);

    public bool IsWholeDay => Node["startIsDate"]!.GetValue<bool>();

    public IReadOnlyList<int> AlarmSeconds => [.. Node["alarms"]!.AsArray().Select(a => a!.GetValue<int>())];
}
