using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary on servers that keep different times: days are the yard's, whatever the server's own zone.</summary>
public sealed class ServerZoneTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-fault-").FullName;

    // Whatever the hour, the one or the other is on another day than the yard: 19 or more hours lie between them (IANA tz database).
    [Fact]
    public async Task Days_ofAYard_doNotDependOnTheServersZone()
    {
        var answers = await Task.WhenAll(AnswersAsync("America/Los_Angeles"), AnswersAsync("Pacific/Auckland"));

        Assert.NotEmpty(answers[0]);
        Assert.Equal(answers[0], answers[1]);
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private async Task<IReadOnlyList<string>> AnswersAsync(string serverZone)
    {
        var data = Path.Combine(_folder, serverZone.Replace('/', '-'));
        var key = await ServiceProcess.RunAsync("key", "add", "--data", data, "--name", "faults", "--scopes", "admin");
        await using var service = await ServiceProcess.StartAsync(data, new Dictionary<string, string> { ["TZ"] = serverZone });
        using var client = new Client(service.Address, key);
        var horse = await SettleAsync(client);
        JsonArray checks = [];
        await Eventually.TrueAsync(
            async () => (checks = (await client.GetAsync($"/v1/checks?horseId={horse}&state=open"))["items"]!.AsArray()).Any(check => check!["kind"]!.GetValue<string>() == "fit"),
            () => $"No fit check: {checks.ToJsonString()}", withinSeconds: 60);
        var alerts = (await client.GetAsync($"/v1/alerts?horseId={horse}"))["items"]!.AsArray();
        return
        [
            .. checks.Select(check => string.Join(' ', new[] { "kind", "urgency", "opensOn", "bookBy", "dueOn", "closesOn" }.Select(member => check![member]))),
            .. alerts.Select(alert => $"{alert!["cause"]} {alert["text"]} {alert["dueOn"]}"),
        ];
    }

    /// <summary>A horse measured five weeks ago, an hour after the yard's midnight, and rubbed today.</summary>
    private static async Task<string> SettleAsync(Client client)
    {
        var today = DateTimeOffset.UtcNow.UtcDateTime.Date;
        string Day(int ahead) => today.AddDays(ahead).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        var yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var person = await client.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yardId } });
        var horse = await client.MakeAsync("/v1/horses", new { yardId, name = "Bramble", bornOn = "2014-05-01" });
        var saddleId = await client.MakeAsync("/v1/saddles", new { yardId, label = "Bramble's saddle", tree = "adjustable", filling = "wool" });
        await client.MakeAsync($"/v1/saddles/{saddleId}/tree-shapes", new { from = Day(-40), stations = new[] { new { station = "T13", width150Mm = 320 } } });
        await client.MakeAsync("/v1/pairings", new { horseId = horse, saddleId, from = Day(-40), weeklyMinutes = 240 });
        var widths = new[] { new { station = "T13", depthMm = 150, widthMm = 318 } };
        await client.MakeAsync($"/v1/horses/{horse}/measurements", new { measuredAt = $"{Day(-35)}T01:00:00Z", measuredBy = person, method = "calliper", exercise = "before", widths });
        await client.MakeAsync($"/v1/horses/{horse}/observations", new { observedOn = Day(0), kind = "rub", note = "Seen." });
        return horse;
    }
}
