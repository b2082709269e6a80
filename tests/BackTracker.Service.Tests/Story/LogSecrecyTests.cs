using System.Globalization;
using System.Net;
using BackTracker.Service.Tests.Delivery;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Story;

/// <summary>What the built program writes where an operator wants to know everything: all levels, with scopes.</summary>
public sealed class LogSecrecyTests
{
    private const string Password = "the-word-at-the-mail-server";

    [Theory, InlineData("simple"), InlineData("json"), InlineData("backtracker-text"), InlineData("backtracker-json")]
    public async Task Log_ofAStory_atTraceAndWithScopes_holdsNoSecret(string format)
    {
        await using var office = PostOffice.Open(account: $"larkfield:{Password}");
        await using var receiver = await Receiver.StartAsync();
        await using var served = await ServedFolder.EmptyAsync();
        Set(served, "Logging__", ("LogLevel__Default", "Trace"), ("LogLevel__Microsoft", "Trace"), ("LogLevel__Microsoft.AspNetCore", "Trace"), ("LogLevel__Microsoft.AspNetCore.Hosting.Diagnostics", "Trace"));
        Set(served, "Logging__Console__", ("LogLevel__Default", "Trace"), ("LogLevel__Microsoft.AspNetCore", "Trace"), ("FormatterName", format), ("FormatterOptions__IncludeScopes", "true"));
        Set(served, "BackTracker__Mail__", ("Host", "127.0.0.1"), ("Port", office.Port.ToString(CultureInfo.InvariantCulture)), ("Security", "none"), ("From", "alerts@larkfield.test"), ("User", "larkfield"), ("Password", Password));
        Set(served, "BackTracker__", ("Delivery__AllowHosts", "127.0.0.1"), ("Pages__Address", "https://horses.test"));
        await served.ServeAsync();

        var secrets = await LiveAsync(served, office, receiver);
        Assert.Equal(0, await served.StopAsync());
        var log = await served.LogAsync();

        var debug = format switch { "json" => "\"LogLevel\":\"Debug\"", "backtracker-json" => "\"level\":\"debug\"", _ => "dbug: " };
        Assert.Contains(debug, log, StringComparison.Ordinal);
        foreach (var secret in secrets)
            Assert.True(!log.Contains(secret, StringComparison.Ordinal), $"The log holds a secret: {Around(log, secret)}");
    }

    /// <summary>Uses every kind of secret there is, well and badly; returns them.</summary>
    private static async Task<List<string>> LiveAsync(ServedFolder served, PostOffice office, Receiver receiver)
    {
        var key = (await served.RunAsync("key", "add", "--name", "tests", "--scopes", "admin")).ShouldSucceed().Lines.Single();
        var admin = served.ClientFor(key);
        var yardId = await admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var personId = await admin.MakeAsync("/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yardId } });
        using var browser = new PageClient(served.Address, key);
        (await browser.SignInAsync()).Should(HttpStatusCode.Found);
        return
        [
            key, Password,
            .. browser.Cookies.GetAllCookies().Select(cookie => cookie.Value),
            .. await KeysAsync(admin, yardId),
            .. await WebhookAsync(admin, receiver, yardId),
            await CalendarAsync(admin, served.Address, personId),
            .. await LettersAsync(admin, office, browser, yardId),
        ];
    }

    private static async Task<string[]> KeysAsync(ApiClient admin, string yardId)
    {
        var made = (await admin.PostAsync("/v1/keys", new { name = "phone", scopes = new[] { "record" }, yardIds = new[] { yardId } })).Should(HttpStatusCode.Created);
        var rotated = (await admin.PostAsync($"/v1/keys/{made["id"]}/rotate")).Should(HttpStatusCode.Created);
        return [made["secret"]!.GetValue<string>(), rotated["secret"]!.GetValue<string>()];
    }

    private static async Task<string[]> WebhookAsync(ApiClient admin, Receiver receiver, string yardId)
    {
        var made = (await admin.PostAsync("/v1/subscriptions", new { url = receiver.Url, yardIds = new[] { yardId } })).Should(HttpStatusCode.Created);
        var rotated = (await admin.PostAsync($"/v1/subscriptions/{made["id"]}/rotate", null, ("If-Match", "*"))).Should(HttpStatusCode.OK);
        (await admin.PostAsync($"/v1/subscriptions/{made["id"]}/test")).Should(HttpStatusCode.Created);
        await receiver.GotAsync(1);
        return [made["secret"]!.GetValue<string>()["whsec_".Length..], rotated["secret"]!.GetValue<string>()["whsec_".Length..]];
    }

    private static async Task<string> CalendarAsync(ApiClient admin, string address, string personId)
    {
        var path = new Uri((await admin.PostAsync($"/v1/people/{personId}/calendar-token")).Should(HttpStatusCode.OK)["url"]!.GetValue<string>()).AbsolutePath;
        using var program = new HttpClient { BaseAddress = new Uri(address) };
        foreach (var (asked, status) in new[] { (path, HttpStatusCode.OK), ($"{path}x", HttpStatusCode.NotFound), ($"{path}?kind=x", HttpStatusCode.BadRequest) })
            using (var answer = await program.GetAsync(asked, TestContext.Current.CancellationToken))
                Assert.Equal(status, answer.StatusCode);
        (await admin.PostAsync(path)).Should(HttpStatusCode.MethodNotAllowed);
        return path.Split('/')[^1][..^".ics".Length];
    }

    private static async Task<string[]> LettersAsync(ApiClient admin, PostOffice office, PageClient reader, string yardId)
    {
        await admin.MakeAsync("/v1/subscriptions", new { email = "isla@larkfield.test", yardIds = new[] { yardId } });
        var confirm = PostOffice.LinkIn(await office.LetterAsync(1), "Confirm this address");
        var confirmWord = confirm.Split('=')[1];
        (await reader.PostAsync("/confirm-address", ("word", confirmWord))).Should(HttpStatusCode.BadRequest);
        (await reader.FillAsync(confirm, "/confirm-address", ("word", confirmWord))).Should(HttpStatusCode.Found);
        var horseId = await admin.MakeAsync("/v1/horses", new { yardId, name = "Bramble" });
        await admin.MakeAsync($"/v1/horses/{horseId}/observations", new { observedOn = DateTime.UtcNow.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), kind = "open-sore", note = "Seen." });
        var end = PostOffice.LinkIn(await office.LetterAsync(2), "End these letters");
        var endWord = end.Split('=')[1];
        (await reader.GetAsync($"/end-subscription/at-once?word={endWord}")).Should(HttpStatusCode.Found);
        (await reader.FillAsync(end, "/end-subscription", ("word", endWord))).Should(HttpStatusCode.Found);
        (await reader.PostAsync($"/end-subscription/at-once?word={endWord}", ("List-Unsubscribe", "One-Click"))).Should(HttpStatusCode.NoContent);
        return [confirmWord, endWord];
    }

    private static void Set(ServedFolder served, string prefix, params (string Name, string Value)[] settings)
    {
        foreach (var (name, value) in settings)
            served.Environment[prefix + name] = value;
    }

    private static string Around(string log, string secret)
    {
        var at = log.IndexOf(secret, StringComparison.Ordinal);
        return log[Math.Max(0, at - 300)..Math.Min(log.Length, at + secret.Length)];
    }
}
