using System.Globalization;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commands;

public sealed class CalibrateCommandTests
{
    [Fact]
    public async Task Calibrate_besideARunningService_printsWordsAndATable()
    {
        await using var served = await ServedFolder.StartAsync();
        var admin = await served.AdminAsync();
        var yard = await admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        var fitter = await admin.MakeAsync("/v1/people", new { name = "A fitter", role = "fitter", yardIds = new[] { yard } });
        foreach (var name in new[] { "Bramble", "Sorrel" })
            await MeasureAsync(admin, await admin.MakeAsync("/v1/horses", new { yardId = yard, name }), fitter);

        var everywhere = (await served.RunAsync("calibrate")).ShouldSucceed();
        var ofYard = (await served.RunAsync("calibrate", "--yard", yard)).ShouldSucceed();

        Assert.Equal(everywhere.Output, ofYard.Output);
        Assert.StartsWith("Too few sessions", ofYard.Lines[0], StringComparison.Ordinal);
        Assert.Contains(ofYard.Lines, line => line.StartsWith("T13.width150: ", StringComparison.Ordinal) && line.Contains("Typically off by", StringComparison.Ordinal));
        var table = ofYard.Lines.SkipWhile(line => !line.StartsWith("metric\t", StringComparison.Ordinal)).Select(line => line.Split('\t')).ToList();
        Assert.All(table, cells => Assert.Equal(table[0].Length, cells.Length));
        // Five sessions each: the fourth and the fifth were forecast from the one before.
        Assert.Equal(["T13.width150", "next-session", "4", "4", "2"], table.Single(cells => cells is ["T13.width150", "next-session", ..]).Take(5));
    }

    [Fact]
    public async Task Calibrate_unknownYard_fails()
    {
        await using var store = await ServedFolder.EmptyAsync();
        (await store.RunAsync("key", "add", "--name", "first", "--scopes", "admin")).ShouldSucceed();

        (await store.RunAsync("calibrate", "--yard", "0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69")).ShouldFail(1, "There is no yard");
    }

    private static async Task MeasureAsync(ApiClient admin, string horse, string fitter)
    {
        double[] widths = [300, 302, 301, 304, 303];
        foreach (var (i, widthMm) in widths.Index())
        {
            var day = DateTime.UtcNow.AddDays(28 * (i - widths.Length)).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
            await admin.MakeAsync($"/v1/horses/{horse}/measurements", new
            {
                measuredAt = $"{day}T12:00:00Z",
                measuredBy = fitter,
                method = "arm-gauge",
                exercise = "before",
                widths = new[] { new { station = "T13", depthMm = 150, widthMm, repeat = 1 } },
            });
        }
    }
}
