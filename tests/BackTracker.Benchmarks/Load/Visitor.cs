using System.Collections.Concurrent;
using System.Globalization;
using System.Net.Http.Headers;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace BackTracker.Benchmarks.Load;

/// <summary>Somebody, or somebody's program, who uses the service: mostly looks, now and then records. Every answer is held against what is to be expected.</summary>
internal sealed class Visitor(LoadedService service, HttpClient pages, IReadOnlyList<LoadYard> yards, Func<double> seconds, ConcurrentQueue<string> faults, LoadOptions options, int seed)
{
    private const int MostFaultsKept = 50;
    private static readonly int[] Fine = [200];
    private static readonly int[] Made = [201];
    private static readonly int[] Same = [200, 304];
    private static readonly int[] Overtaken = [200, 409, 412];

    // Of a thousand acts so many.
    private static readonly (int Of1000, string Kind, Func<Visitor, Task> Do)[] Acts =
    [
        (150, "poll", v => v.PollAsync()),
        (130, "board", v => v.GetAsync("board", $"/v1/yards/{v.yard.Id}/board")),
        (130, "horse", v => v.GetAsync("horse", $"/v1/horses/{v.horse.Id}")),
        (90, "checks", v => v.GetAsync("checks", $"/v1/checks?yardId={v.yard.Id}&state=open")),
        (80, "measurements", v => v.GetAsync("measurements", $"/v1/horses/{v.horse.Id}/measurements?limit=50")),
        (60, "trend of a metric", v => v.GetAsync("trend of a metric", $"/v1/horses/{v.horse.Id}/trends?metric=T13.width150&horizonDays=56")),
        (60, "fit", v => v.GetAsync("fit", $"/v1/pairings/{v.horse.PairingId}/fit")),
        (40, "alerts", v => v.GetAsync("alerts", $"/v1/alerts?yardId={v.yard.Id}&state=raised")),
        (50, "calendar", v => v.GetAsync("calendar", v.yard.Calendar)),
        (70, "page: board", v => v.PageAsync("page: board", $"/yards/{v.yard.Id}")),
        (30, "page: horse", v => v.PageAsync("page: horse", $"/horses/{v.horse.Id}")),
        (30, "page: measure", v => v.PageAsync("page: measure", $"/horses/{v.horse.Id}/measure")),
        (1, "export", v => v.GetAsync("export", $"/v1/yards/{v.yard.Id}/export")),
        (40, "ride", v => v.RideAsync()),
        (20, "measure", v => v.MeasureAsync()),
        (5, "observe", v => v.ObserveAsync()),
        (8, "book", v => v.BookAsync()),
        (4, "finish", v => v.FinishAsync()),
        (2, "adjust", v => v.AdjustAsync()),
    ];

    private readonly (int Of1000, string Kind, Func<Visitor, Task> Do)[] acts = [.. Acts.Where(act => options.Only.Length == 0 || act.Kind == options.Only)];
    private readonly Random random = new(seed);
    private readonly Dictionary<string, string> versions = [];
    private readonly List<Call> calls = [];
    private LoadYard yard = yards[0];
    private LoadHorse horse = yards[0].Horses[0];
    private double? dueSeconds;

    public IReadOnlyList<Call> Calls => calls;

    /// <summary>Does one thing.</summary>
    /// <param name="due">When it was to be done at a fixed rate; null where it is done as soon as the last one was.</param>
    public Task ActAsync(double? due)
    {
        (dueSeconds, yard) = (due, yards[random.Next(yards.Count)]);
        horse = yard.Horses[random.Next(yard.Horses.Count)];
        var draw = random.Next(acts.Sum(act => act.Of1000));
        return acts.First(act => (draw -= act.Of1000) < 0).Do(this);
    }

    /// <summary>Four widths twice, as the yard has measured the horse all along.</summary>
    public static object Measurement(LoadYard yard, Random random) => new
    {
        measuredAt = DateTimeOffset.UtcNow,
        measuredBy = yard.ManagerId,
        method = "flexible-curve",
        exercise = "before",
        stance = new { square = true, head = "neutral" },
        widths = from place in Herd.Places
                 from repeat in Enumerable.Range(1, 2)
                 select new { station = place.Station, depthMm = place.DepthMm, widthMm = Math.Round(place.WidthMm + random.Next(-10, 11) + repeat * .5, 1), repeat },
    };

    private Task<Answered> GetAsync(string kind, string path) => SendAsync(service.Http, kind, new HttpRequestMessage(HttpMethod.Get, path), Fine);

    private Task<Answered> PageAsync(string kind, string path) => SendAsync(pages, kind, new HttpRequestMessage(HttpMethod.Get, path), Fine);

    /// <summary>A program that looks again and again whether something has changed.</summary>
    private async Task PollAsync()
    {
        var path = $"/v1/horses/{yard.Horses[random.Next(Math.Min(4, yard.Horses.Count))].Id}";
        var request = new HttpRequestMessage(HttpMethod.Get, path);
        if (versions.TryGetValue(path, out var known))
            request.Headers.IfNoneMatch.Add(EntityTagHeaderValue.Parse(known));
        versions[path] = (await SendAsync(service.Http, "horse, if changed", request, Same)).Version;
    }

    private Task MeasureAsync() => RecordAsync("measure", "measurements", $"/v1/horses/{horse.Id}/measurements", Measurement(yard, random));

    private Task RideAsync() => RecordAsync("ride", "rides", $"/v1/horses/{horse.Id}/rides", new { riddenOn = Day(-random.Next(7)), minutes = 30 + random.Next(60), saddleId = horse.SaddleId });

    private Task ObserveAsync() => RecordAsync("observe", "observations", $"/v1/horses/{horse.Id}/observations", new { observedOn = Day(0), kind = "rub", note = "A little hair is rubbed off." });

    private Task AdjustAsync() => RecordAsync("adjust", "adjustments", $"/v1/saddles/{horse.SaddleId}/adjustments", new
    {
        doneOn = Day(0),
        doneBy = yard.FitterId,
        kind = "flocking",
        zones = new[] { new { side = "left", zone = "rear", mm = 1 }, new { side = "right", zone = "rear", mm = 1 } },
    });

    private async Task BookAsync()
    {
        if (await AnyCheckAsync("open") is { } check)
            await MoveAsync("book", check, new { on = Day(1 + random.Next(14)), fitterId = yard.FitterId });
    }

    /// <summary>One of three visits takes place, the others fall through.</summary>
    private async Task FinishAsync()
    {
        if (await AnyCheckAsync("booked") is not { } check)
            return;
        if (random.Next(3) == 0)
            await MoveAsync("complete", check, new { on = Day(0), by = yard.FitterId, findings = new[] { "Sits level; panel even." } });
        else
            await MoveAsync("unbook", check, new { reason = "The road was closed." });
    }

    private async Task<string?> AnyCheckAsync(string state)
    {
        var list = await SendAsync(service.Http, "checks", new HttpRequestMessage(HttpMethod.Get, $"/v1/checks?yardId={yard.Id}&state={state}"), Fine);
        // A vet's check is a vet's to finish, a re-measure is finished by measuring.
        var some = JsonNode.Parse(list.Text)?["items"]?.AsArray().OfType<JsonNode>().Where(check => Installation.Text(check, "kind") is "fit" or "refit" or "flocking").ToList() ?? [];
        return some.Count == 0 ? null : Installation.Text(some[random.Next(some.Count)], "id");
    }

    private async Task MoveAsync(string kind, string check, object body)
    {
        var seen = await SendAsync(service.Http, "check", new HttpRequestMessage(HttpMethod.Get, $"/v1/checks/{check}"), Fine);
        var request = Post($"/v1/checks/{check}/{kind}", body);
        request.Headers.TryAddWithoutValidation("If-Match", seen.Version);
        await SendAsync(service.Http, kind, request, Overtaken);
    }

    private async Task RecordAsync(string kind, string records, string path, object body)
    {
        var made = await SendAsync(service.Http, kind, Post(path, body), Made);
        if (options.Recorded == Recorded.IsTakenBack && made.Version.Length > 0)
            await VoidAsync($"/v1/{records}/{Installation.Text(JsonNode.Parse(made.Text)!, "id")}/void", made.Version);
    }

    private async Task VoidAsync(string path, string version)
    {
        var request = Post(path, new { reason = "Entered twice." });
        request.Headers.TryAddWithoutValidation("If-Match", version);
        await SendAsync(service.Http, "take back", request, Fine);
    }

    private static HttpRequestMessage Post(string path, object body)
    {
        var request = new HttpRequestMessage(HttpMethod.Post, path) { Content = new StringContent(JsonSerializer.Serialize(body), null, "application/json") };
        request.Headers.Add("Idempotency-Key", Guid.NewGuid().ToString());
        return request;
    }

    private async Task<Answered> SendAsync(HttpClient http, string kind, HttpRequestMessage request, int[] expected)
    {
        var began = dueSeconds ?? seconds();
        dueSeconds = null; // Only the first request of an act is due at a time.
        try
        {
            using (request)
            using (var answer = await http.SendAsync(request))
            {
                var text = await answer.Content.ReadAsStringAsync();
                var isWrong = !expected.Contains((int)answer.StatusCode);
                Note(kind, began, isWrong, $"{(int)answer.StatusCode} {text[..Math.Min(300, text.Length)]}");
                return new(text, answer.Headers.ETag?.ToString() ?? "");
            }
        }
        catch (Exception error) when (error is HttpRequestException or OperationCanceledException)
        {
            Note(kind, began, true, error.Message);
            return new("{}", "");
        }
    }

    private void Note(string kind, double began, bool isWrong, string what)
    {
        var now = seconds();
        calls.Add(new Call(kind, now, (now - began) * 1000, isWrong));
        if (isWrong && faults.Count < MostFaultsKept)
            faults.Enqueue($"{kind} at {now.ToString("F0", CultureInfo.InvariantCulture)} s: {what}");
    }

    private static string Day(int fromToday) => DateTime.UtcNow.AddDays(fromToday).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private sealed record Answered(string Text, string Version);
}
