using System.Collections.Concurrent;
using System.Globalization;
using System.Text.Json;

namespace BackTracker.Faults.MixedLoad;

/// <summary>A yard of which everything is written at once: some ridden horses with saddles, and more and more that are measured.</summary>
internal sealed class LoadYard
{
    private const int StillMeasured = 8;
    private readonly ConcurrentQueue<string> _newest = new();
    private readonly ConcurrentQueue<(string Path, string Id)> _mistakes = new();
    private readonly List<(string HorseId, string SaddleId)> _ridden = [];
    private int _count;

    private LoadYard()
    {
    }

    public string YardId { get; private init; } = "";

    public string FitterId { get; private init; } = "";

    /// <summary>Horses that were there from the beginning.</summary>
    public IReadOnlyList<string> FirstHorses => [.. _ridden.Select(pair => pair.HorseId)];

    public static async Task<LoadYard> SettleAsync(Client client, string hook)
    {
        var yardId = await client.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        await client.MakeAsync("/v1/subscriptions", new { url = hook, yardIds = new[] { yardId } });
        var fitterId = await client.MakeAsync("/v1/people", new { name = "Morwen Hale", role = "fitter", yardIds = new[] { yardId } });
        var yard = new LoadYard { YardId = yardId, FitterId = fitterId };
        for (var i = 0; i < 4; i++)
            await yard.AddRiddenAsync(client, i);
        return yard;
    }

    /// <summary>A horse was acknowledged: it is measured from now on, and one that was for long is not any more.</summary>
    public void Add(string horseId)
    {
        _newest.Enqueue(horseId);
        if (_newest.Count > StillMeasured)
            _newest.TryDequeue(out _);
    }

    /// <summary>A record was acknowledged that may later prove to be a mistake.</summary>
    public void AddMistake(string collection, string id) => _mistakes.Enqueue((collection, id));

    /// <summary>What somebody in the yard does next.</summary>
    public async Task<Work?> NextAsync(Client client, Random random)
    {
        var key = string.Create(CultureInfo.InvariantCulture, $"work-{Interlocked.Increment(ref _count)}");
        var horseId = random.GetItems(_newest.ToArray(), 1)[0];
        var work = random.Next(100) switch
        {
            < 40 => Post(WorkKind.Measure, $"/v1/horses/{horseId}/measurements", Measurement(key, random)),
            < 55 => new Work(WorkKind.Measure, HttpMethod.Put, $"/v1/measurements/{Guid.CreateVersion7()}", Write(Measurement(key, random, horseId))),
            < 65 => Post(WorkKind.Observe, $"/v1/horses/{horseId}/observations", new { observedOn = Day(0), kind = "rub", note = key }),
            < 75 => Ride(random),
            < 80 => Post(WorkKind.Register, "/v1/horses", new { yardId = YardId, name = key }),
            < 85 => _mistakes.TryDequeue(out var mistake) ? Post(WorkKind.Void, $"{mistake.Path}/{mistake.Id}/void", new { reason = key }) : null,
            < 95 => await CheckMoveAsync(client, random, WorkKind.Book, "open", new { on = Day(random.Next(1, 30)), fitterId = FitterId }),
            _ => await CheckMoveAsync(client, random, WorkKind.Unbook, "booked", new { reason = key }),
        };
        return work is null ? null : work with { Key = key };
    }

    private async Task AddRiddenAsync(Client client, int number)
    {
        var horseId = await client.MakeAsync("/v1/horses", new { yardId = YardId, name = $"Horse {number}", bornOn = "2014-05-01" });
        var saddleId = await client.MakeAsync("/v1/saddles", new { yardId = YardId, label = $"Saddle {number}", tree = "adjustable", filling = "wool" });
        await client.MakeAsync($"/v1/saddles/{saddleId}/tree-shapes", new { from = Day(0), stations = new[] { new { station = "T13", width150Mm = 320 } } });
        await client.MakeAsync("/v1/pairings", new { horseId, saddleId, from = Day(0), weeklyMinutes = 240 });
        _ridden.Add((horseId, saddleId));
        Add(horseId);
    }

    private Work Ride(Random random)
    {
        var (horseId, saddleId) = _ridden[random.Next(_ridden.Count)];
        return Post(WorkKind.Ride, $"/v1/horses/{horseId}/rides", new { riddenOn = Day(0), minutes = random.Next(1, 3), saddleId });
    }

    /// <summary>A move of any check in a state, by the version it has now; null where there is none or the service is not there for it.</summary>
    private async Task<Work?> CheckMoveAsync(Client client, Random random, WorkKind kind, string state, object body)
    {
        try
        {
            var checks = (await client.GetAsync($"/v1/checks?yardId={YardId}&state={state}&limit=20"))["items"]!.AsArray();
            if (checks.Count == 0)
                return null;
            var path = $"/v1/checks/{checks[random.Next(checks.Count)]!["id"]}";
            return Post(kind, $"{path}/{(kind == WorkKind.Book ? "book" : "unbook")}", body) with { IfMatch = await client.EtagAsync(path) };
        }
        catch (HttpRequestException error) when (error.StatusCode is null or System.Net.HttpStatusCode.ServiceUnavailable)
        {
            return null;
        }
    }

    private Dictionary<string, object?> Measurement(string note, Random random, string? horseId = null) => new()
    {
        ["measuredAt"] = DateTimeOffset.UtcNow.AddHours(-random.Next(1, 2000)),
        ["measuredBy"] = FitterId,
        ["method"] = "calliper",
        ["exercise"] = "before",
        ["widths"] = new[] { new { station = "T13", depthMm = 150, widthMm = random.Next(300, 330) } },
        ["note"] = note,
        [horseId is null ? "weightKg" : "horseId"] = horseId is null ? 500 : horseId,
    };

    private static Work Post(WorkKind kind, string path, object body) => new(kind, HttpMethod.Post, path, Write(body));

    private static string Write(object body) => JsonSerializer.Serialize(body);

    private static string Day(int ahead) => DateTime.UtcNow.AddDays(ahead).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
