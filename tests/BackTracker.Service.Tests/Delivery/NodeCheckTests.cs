using System.Diagnostics;
using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using BackTracker.Service.Delivery;
using BackTracker.Service.Tests.Harness;
using EventTypes = BackTracker.Engine.Alerts.EventTypes;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>Deliveries of the running program, in the hands of the npm libraries standardwebhooks and cloudevents.</summary>
public sealed class NodeCheckTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Delivery_ofTheRunningProgram_isVerifiedAndParsedAndRefusedWhenTamperedWithOrStale(StoreKind store)
    {
        var folder = Environment.GetEnvironmentVariable("BACKTRACKER_TEST_NODE_CHECKS");
        Assert.SkipWhen(string.IsNullOrEmpty(folder), "No npm libraries: scripts/test fetches them where it can and names their folder in BACKTRACKER_TEST_NODE_CHECKS.");
        await using var served = await ServedFolder.EmptyAsync(store);
        served.Environment["BackTracker__Delivery__AllowHosts"] = "127.0.0.1";
        await served.ServeAsync();
        await using var receiver = await Receiver.StartAsync();
        var (horse, secret) = await SubscribeAsync(await served.AdminAsync(), receiver.Url);
        await receiver.GotAsync(2);

        var opened = receiver.Received.Single(r => r.Type == EventTypes.ObservationVetFirst);
        var parsed = (await VerifyAsync(folder!, secret, opened.Headers, opened.Body))["event"]!;
        Assert.Equal((opened.Id, horse, "1.0"), (parsed["id"]!.GetValue<string>(), parsed["subject"]!.GetValue<string>(), parsed["specversion"]!.GetValue<string>()));
        Assert.Equal(("000000000001", "open-sore"), (parsed["sequence"]!.GetValue<string>(), parsed["data"]!["kind"]!.GetValue<string>()));
        var test = receiver.Received.Single(r => r.Type == EventTypes.SubscriptionTest);
        Assert.NotNull((await VerifyAsync(folder!, secret, test.Headers, test.Body))["event"]);

        Assert.Equal("No matching signature found", await RefusalAsync(folder!, secret, opened.Headers, opened.Body.Replace("open-sore", "swelling", StringComparison.Ordinal)));
        Assert.Equal("No matching signature found", await RefusalAsync(folder!, secret, test.Headers, opened.Body));
        var stale = DateTimeOffset.UtcNow.AddMinutes(-6).ToUnixTimeSeconds();
        Assert.Equal("Message timestamp too old", await RefusalAsync(folder!, secret, Signed(opened, secret, stale), opened.Body));
    }

    private static async Task<(string HorseId, string Secret)> SubscribeAsync(ApiClient admin, string url)
    {
        var yardId = await admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var horse = await admin.MakeAsync("/v1/horses", new { yardId, name = "Bramble" });
        var made = (await admin.PostAsync("/v1/subscriptions", new { url, events = new[] { EventTypes.ObservationVetFirst }, yardIds = new[] { yardId } })).Should(HttpStatusCode.Created);
        await admin.MakeAsync($"/v1/horses/{horse}/observations", new { observedOn = "2026-01-05", kind = "open-sore", note = "Größe einer Münze, \u2019\u00e9\u2019 & <b>." });
        await admin.MakeAsync($"/v1/subscriptions/{made["id"]}/test", new { });
        return (horse, made["secret"]!.GetValue<string>());
    }

    private static Dictionary<string, string> Signed(ReceivedEvent got, string secret, long at) => new(got.Headers)
    {
        ["webhook-timestamp"] = at.ToString(System.Globalization.CultureInfo.InvariantCulture),
        ["webhook-signature"] = WebhookSignature.Of([Convert.FromBase64String(secret["whsec_".Length..])], got.Id, at, Encoding.UTF8.GetBytes(got.Body)),
    };

    private static async Task<string> RefusalAsync(string folder, string secret, IReadOnlyDictionary<string, string> headers, string body) =>
        (await VerifyAsync(folder, secret, headers, body))["refused"]?.GetValue<string>() ?? "It was taken.";

    private static async Task<JsonNode> VerifyAsync(string folder, string secret, IReadOnlyDictionary<string, string> headers, string body)
    {
        using var node = Process.Start(new ProcessStartInfo("node", [Path.Combine(folder, "verify.cjs")]) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true })!;
        var errors = node.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        // The libraries look headers up as Node gives them: in lower case.
        await node.StandardInput.WriteAsync(JsonSerializer.Serialize(new { secret, headers = headers.ToDictionary(h => h.Key.ToLowerInvariant(), h => h.Value), body }));
        node.StandardInput.Close();
        var output = await node.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await node.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(node.ExitCode == 0, await errors);
        return JsonNode.Parse(output)!;
    }
}
