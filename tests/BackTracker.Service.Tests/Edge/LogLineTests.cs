using System.Globalization;
using System.Net;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;
using BackTracker.Service.Observability;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Logging.Console;
using Microsoft.Extensions.Time.Testing;

namespace BackTracker.Service.Tests.Edge;

public sealed class LogLineTests
{
    private const string Forged = "Bramble\r\n2026-11-25T09:00:00.000Z crit: forged\u2028too\u001b[2J";
    private static readonly FakeTimeProvider Clock = new(new DateTimeOffset(2026, 11, 25, 9, 0, 0, TimeSpan.Zero));

    [Theory, InlineData(true), InlineData(false)]
    public void Entry_withLineBreaks_staysOneLine(bool json)
    {
        var line = Write(json ? new JsonLine(Clock) : new TextLine(Clock));

        Assert.EndsWith("\n", line, StringComparison.Ordinal);
        Assert.DoesNotContain(line[..^1], char.IsControl);
        Assert.StartsWith(json ? "{\"time\":\"2026-11-25T09:00:00Z\",\"level\":\"warning\"," : "2026-11-25T09:00:00.000Z warn: Larkfield Bramble  2026", line, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Json_ofTheRunningService_saysWhoWasRefusedAndWhoSignedIn_andNamesNoSecret()
    {
        await using var served = await ServedFolder.EmptyAsync();
        served.Environment["BackTracker__Logs__Format"] = "json";
        await served.ServeAsync();
        var key = (await served.RunAsync("key", "add", "--name", "tests", "--scopes", "admin")).ShouldSucceed().Lines.Single();
        using var page = new PageClient(served.Address, key);
        (await page.SignInAsync()).Should(HttpStatusCode.Found);
        var refused = (await served.ClientFor("bt_guessed").GetAsync("/v1/yards")).Should(HttpStatusCode.Unauthorized);
        Assert.Equal(0, await served.StopAsync());

        var lines = (await served.LogAsync()).Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonNode.Parse(line)!).ToList();

        Assert.All(lines, line => Assert.Equal(TimeSpan.Zero, DateTimeOffset.Parse(line["time"]!.GetValue<string>(), CultureInfo.InvariantCulture).Offset));
        Assert.All(lines, line => Assert.True(line["level"] is not null && line["category"] is not null && line["message"] is not null));
        var print = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes("bt_guessed")))[..12];
        var told = Assert.Single(lines, line => line["message"]!.GetValue<string>().Contains(print, StringComparison.Ordinal));
        Assert.Contains("127.0.0.1", told["message"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Equal(refused["traceId"]!.GetValue<string>(), told["traceId"]!.GetValue<string>());
        Assert.Contains(lines, line => line["message"]!.GetValue<string>().EndsWith("signed in from 127.0.0.1", StringComparison.Ordinal));
        Assert.DoesNotContain(key, await served.LogAsync(), StringComparison.Ordinal);
    }

    private static string Write(ConsoleFormatter formatter)
    {
        using var written = new StringWriter { NewLine = "\n" };
        formatter.Write(new LogEntry<string>(LogLevel.Warning, "Larkfield", default, Forged, new InvalidOperationException("a\r\nb"), (state, _) => state), null, written);
        return written.ToString();
    }
}
