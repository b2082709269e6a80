using System.Diagnostics;
using System.Globalization;
using System.Net.Http.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using BackTracker.Benchmarks.Reference;

namespace BackTracker.Benchmarks;

/// <summary>Reads a second and their p99 beside a bare server that does one read, in turn within one run, both loaded by wrk from the same two cores.</summary>
internal static partial class ReadTimes
{
    private const int Records = 2000;
    private const int Rounds = 3;

    public static async Task ReportAsync()
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-reads-");
        var (bareFolder, data) = (folder.CreateSubdirectory("bare").FullName, folder.CreateSubdirectory("data").FullName);
        using var bare = await Server.StartAsync("BackTracker.Benchmarks.dll", "bare-reads", bareFolder);
        using var service = await Server.StartAsync("backtracker.dll", "serve", "--data", data, "--port", "0");
        var secret = await KeyAsync(data);
        var addresses = await FillAsync(service.Address, secret);
        foreach (var connections in new[] { 64, 16, 1 })
            foreach (var (name, paths) in addresses)
                await ReportAsync(folder.FullName, name, connections, bare.Address, service.Address, paths, secret);
        bare.Stop();
        service.Stop();
        folder.Delete(recursive: true);
    }

    private static async Task<string> KeyAsync(string data)
    {
        using var key = Server.Start(new Dictionary<string, string>(), ["backtracker.dll", "key", "add", "--name", "benchmark", "--scopes", "admin", "--data", data]);
        return (await key.StandardOutput.ReadToEndAsync()).Trim();
    }

    private static async Task<IReadOnlyList<(string Name, IReadOnlyList<string> Paths)>> FillAsync(string address, string secret)
    {
        using var http = new HttpClient { BaseAddress = new Uri(address) };
        http.DefaultRequestHeaders.Authorization = new("Bearer", secret);
        var yardId = await MakeAsync(http, "/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        var person = await MakeAsync(http, "/v1/people", new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yardId } });
        List<string> horses = [], measurements = [];
        for (var i = 0; i < Records; i++)
        {
            horses.Add(await MakeAsync(http, "/v1/horses", new { yardId, name = $"Horse {i}", bornOn = "2015-05-01", breed = "Welsh cob", notes = "Hill work twice a week; goes barefoot behind." }));
            measurements.Add(await MakeAsync(http, $"/v1/horses/{horses[^1]}/measurements", new
            {
                measuredAt = DateTime.UtcNow.AddDays(-1 - i % 300),
                measuredBy = person,
                method = "arm-gauge",
                exercise = "before",
                girthMm = 1850,
                weightKg = 480,
                widths = Enumerable.Range(0, 8).Select(repeat => new { station = repeat % 2 == 0 ? "T13" : "T18", depthMm = 150, widthMm = 318 + repeat / 2, repeat = repeat / 2 + 1 }),
            }));
        }
        return [("measurement", [.. measurements.Select(id => $"/v1/measurements/{id}")]), ("horse", [.. horses.Select(id => $"/v1/horses/{id}")])];
    }

    private static async Task<string> MakeAsync(HttpClient http, string path, object body)
    {
        var answer = await http.PostAsJsonAsync(path, body);
        var text = await answer.Content.ReadAsStringAsync();
        return answer.IsSuccessStatusCode ? JsonNode.Parse(text)!["id"]!.GetValue<string>() : throw new InvalidOperationException($"{path}: {text}");
    }

    private static async Task ReportAsync(string folder, string name, int connections, string bare, string service, IReadOnlyList<string> paths, string secret)
    {
        var rows = Enumerable.Range(1, BareReads.Rows).Select(id => $"/row/{id}").ToList();
        List<Load> theirs = [], ours = [];
        foreach (var (address, some) in new[] { (bare, (IReadOnlyList<string>)rows), (service, paths) })
            await LoadAsync(folder, address, some, 64, secret); // What is hot is compiled anew after some seconds.
        for (var round = 0; round < Rounds; round++)
        {
            theirs.Add(await LoadAsync(folder, bare, rows, connections, secret));
            ours.Add(await LoadAsync(folder, service, paths, connections, secret));
        }
        var (least, most) = (Median(theirs), Median(ours));
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"reads.{name} at {connections}: {most.PerSecond:F0} a second, p99 {most.P99Ms:F2} ms; bare row {least.PerSecond:F0}, p99 {least.P99Ms:F2} ms; ratio {most.PerSecond / least.PerSecond:F2}, p99 ratio {most.P99Ms / least.P99Ms:F2}"));
    }

    private static Load Median(List<Load> loads) => loads.OrderBy(load => load.PerSecond).ElementAt(Rounds / 2);

    private static async Task<Load> LoadAsync(string folder, string address, IReadOnlyList<string> paths, int connections, string secret)
    {
        var script = Path.Combine(folder, "load.lua");
        await File.WriteAllTextAsync(script, $$"""
            local paths = { {{string.Join(',', paths.Select(path => $"'{path}'"))}} }
            math.randomseed(7)
            wrk.headers["Authorization"] = "Bearer {{secret}}"
            request = function() return wrk.format("GET", paths[math.random(1, #paths)]) end
            """);
        using var wrk = Process.Start(new ProcessStartInfo("wrk", ["-t1", $"-c{connections}", "-d5s", "--latency", "-s", script, address]) { RedirectStandardOutput = true })!;
        var said = await wrk.StandardOutput.ReadToEndAsync();
        await wrk.WaitForExitAsync();
        if (said.Contains("Non-2xx", StringComparison.Ordinal) || !PerSecond().IsMatch(said))
            throw new InvalidOperationException($"wrk said: {said}");
        return new Load(double.Parse(PerSecond().Match(said).Groups[1].Value, CultureInfo.InvariantCulture), Milliseconds(P99().Match(said)));
    }

    private static double Milliseconds(Match match) => double.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture) * match.Groups[2].Value switch
    {
        "us" => 0.001,
        "ms" => 1,
        _ => 1000,
    };

    [GeneratedRegex(@"Requests/sec:\s+([\d.]+)")]
    private static partial Regex PerSecond();

    [GeneratedRegex(@"99%\s+([\d.]+)(us|ms|s)")]
    private static partial Regex P99();

    private sealed record Load(double PerSecond, double P99Ms);
}
