using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using BackTracker.Service.Demo;
using BackTracker.Service.Hosting;
using BackTracker.Storage.Sessions;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Benchmarks;

/// <summary>How soon the first byte of a page of the demo is there, and how large the page is: the real service, signed in, over loopback.</summary>
internal static partial class PageTimes
{
    private const int Rounds = 200;

    public static async Task ReportAsync()
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-pages-");
        var options = new ServeOptions { DataFolder = folder.FullName, Port = 0, Role = ServiceRole.Api, Settings = new() };
        await DemoYard.FillAsync(options, DateOnly.FromDateTime(DateTime.UtcNow), CancellationToken.None);
        await using (var app = ServiceHost.Build(options, TimeProvider.System))
        {
            await app.Services.GetRequiredService<Database>().PrepareAsync(CancellationToken.None);
            await app.StartAsync();
            var (_, secret) = await DemoYard.MakeKeyAsync(app.Services.GetRequiredService<Database>(), "benchmark", CancellationToken.None);
            using var http = new HttpClient(new HttpClientHandler { CookieContainer = new CookieContainer() }) { BaseAddress = new Uri(app.Urls.First()) };
            await SignInAsync(http, secret);
            foreach (var (name, address) in await AddressesAsync(http, secret))
                await ReportAsync(http, name, address);
        }
        folder.Delete(recursive: true);
    }

    public static async Task SignInAsync(HttpClient http, string secret)
    {
        var token = Token().Match(await http.GetStringAsync("/sign-in")).Groups[1].Value;
        using var form = new FormUrlEncodedContent(new Dictionary<string, string> { ["__RequestVerificationToken"] = token, ["key"] = secret, ["to"] = "/" });
        (await http.PostAsync("/sign-in", form)).EnsureSuccessStatusCode();
    }

    private static async Task<IReadOnlyList<(string Name, string Address)>> AddressesAsync(HttpClient http, string secret)
    {
        http.DefaultRequestHeaders.Authorization = new("Bearer", secret);
        var horses = JsonNode.Parse(await http.GetStringAsync("/v1/horses?limit=100"))!["items"]!.AsArray();
        // Traced with both marks over eighteen months: the costliest of the demo.
        var horse = horses.Single(horse => horse!["name"]!.GetValue<string>() == "Teasel")!;
        var (id, yard) = (horse["id"]!.GetValue<string>(), horse["yardId"]!.GetValue<string>());
        var later = DateOnly.FromDateTime(DateTime.UtcNow).AddDays(120).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        return
        [
            ("board", $"/yards/{yard}"),
            ("checks", $"/yards/{yard}/checks"),
            ("horse", $"/horses/{id}"),
            ("measure", $"/horses/{id}/measure"),
            ("measurement", $"/measurements/{(await FirstAsync(http, $"/v1/horses/{id}/measurements"))["id"]}"),
            ("observe", $"/horses/{id}/observe"),
            ("observation", $"/observations/{(await FirstAsync(http, "/v1/observations"))["id"]}"),
            ("event", $"/horses/{id}/events"),
            ("phase", $"/horses/{id}/phases"),
            ("order", $"/horses/{id}/commission"),
            ("pairing", $"/pairings/{(await FirstAsync(http, $"/v1/pairings?horseId={id}"))["id"]}"),
            ("whatIf", $"/pairings/{(await FirstAsync(http, $"/v1/pairings?horseId={id}"))["id"]}/what-if"),
            ("check", $"/checks/{(await FirstAsync(http, "/v1/checks"))["id"]}"),
            ("visitSheet", $"/yards/{yard}/visit-sheet"),
            ("visitSheetOfManyHorses", $"/yards/{yard}/visit-sheet?on={later}"),
            ("alert", $"/alerts/{(await FirstAsync(http, "/v1/alerts"))["id"]}"),
            ("commission", $"/commissions/{(await FirstAsync(http, "/v1/commissions"))["id"]}"),
            ("trialSheet", $"/commissions/{(await FirstAsync(http, "/v1/commissions"))["id"]}/trial-sheet"),
            ("people", $"/yards/{yard}/people"),
            ("person", $"/people/{(await FirstAsync(http, $"/v1/people?role=yard-manager&yardId={yard}"))["id"]}"),
            ("settings", $"/yards/{yard}/settings"),
            ("keys", "/keys"),
            ("newKey", "/keys/new"),
            ("subscriptions", "/subscriptions"),
            ("newSubscription", "/subscriptions/new"),
            ("imports", "/imports"),
            ("waiting", "/waiting"),
        ];
    }

    private static async Task<JsonNode> FirstAsync(HttpClient http, string address) => JsonNode.Parse(await http.GetStringAsync(address))!["items"]![0]!;

    private static async Task ReportAsync(HttpClient http, string name, string address)
    {
        var (times, size) = (new double[Rounds], 0);
        for (var i = -Rounds; i < Rounds; i++)
        {
            var start = Stopwatch.GetTimestamp();
            using var response = await http.GetAsync(address, HttpCompletionOption.ResponseHeadersRead);
            var took = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
            size = (await response.EnsureSuccessStatusCode().Content.ReadAsByteArrayAsync()).Length;
            if (i >= 0)
                times[i] = took;
        }
        Array.Sort(times);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"page.{name} first byte median {times[Rounds / 2]:F1} ms, p99 {times[Rounds * 99 / 100]:F1} ms, {size / 1024.0:F1} KB"));
    }

    [GeneratedRegex("__RequestVerificationToken\" value=\"([^\"]+)\"")]
    private static partial Regex Token();
}
