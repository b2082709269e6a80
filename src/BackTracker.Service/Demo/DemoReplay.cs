using System.Text.Json.Nodes;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Jobs;

namespace BackTracker.Service.Demo;

/// <summary>Lives through the demo's past day by day.</summary>
internal sealed class DemoReplay(DemoApi api, ReplayClock clock, Assessor assessor, NightlyRound nightly, DateOnly today)
{
    private const int VisitEvery = 35;
    private static readonly string[] Sunday = ["sunday"];
    private static readonly string[] Sides = ["left", "right"];
    private static readonly int[] Depths = [30, 150];
    private readonly List<Kept> _herd = [];
    private readonly DemoPeople _people = new();

    public async Task RunAsync(CancellationToken cancel)
    {
        await SettleAsync();
        for (var day = DemoHerd.FirstDay; day <= 0; day++)
        {
            clock.MoveTo(Morning(day));
            if (day % 7 == 0 || day == 0)
                await nightly.RunAsync(cancel);
            foreach (var kept in _herd)
                await LiveAsync(kept, day);
            await assessor.DrainAsync(cancel);
            if (await VisitAsync(day))
                await assessor.DrainAsync(cancel);
            if ((day - DemoHerd.FirstDay) % 7 == 1 || day == 0)
                await BookAsync(day);
            await assessor.DrainAsync(cancel);
        }
    }

    private DateOnly Date(int day) => today.AddDays(day);

    private DateTimeOffset Morning(int day) => new(Date(day), new TimeOnly(7, 0), TimeSpan.Zero);

    private async Task SettleAsync()
    {
        clock.MoveTo(Morning(DemoHerd.FirstDay));
        var larkfield = await api.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London", closedDays = Sunday });
        var mill = await api.MakeAsync("/v1/yards", new { name = "Mill Bottom", timeZone = "Europe/London" });
        await _people.SettleAsync(api, larkfield, mill);
        var saddles = new Dictionary<string, string>();
        var seed = 1;
        foreach (var (yard, horses) in new[] { (larkfield, DemoHerd.Larkfield), (mill, DemoHerd.MillBottom) })
            foreach (var horse in horses)
                _herd.Add(await SettleHorseAsync(yard, horse, saddles, seed++));
        await api.MakeAsync("/v1/saddles", new { yardId = larkfield, label = "Trail saddle (being made)", maker = "Gethin, saddler", tree = "rigid", filling = "wool" });
    }

    private async Task<Kept> SettleHorseAsync(string yardId, DemoHorse horse, Dictionary<string, string> saddles, int seed)
    {
        var id = await api.MakeAsync("/v1/horses", new { yardId, name = horse.Name, sex = horse.Sex, breed = horse.Breed, bornOn = DemoApi.Day(today.AddYears(-horse.AgeYears).AddDays(-20)) });
        foreach (var phase in horse.Phases.Where(p => p.From == DemoHerd.FirstDay))
            await api.PostAsync($"/v1/horses/{id}/phases", new { phase = phase.Phase, from = DemoApi.Day(Date(phase.From)) });
        var label = $"{yardId} {horse.Saddle}";
        if (!saddles.TryGetValue(label, out var saddleId))
            saddles[label] = saddleId = await SettleSaddleAsync(yardId, horse);
        var pairingId = await api.MakeAsync("/v1/pairings", new { horseId = id, saddleId, from = DemoApi.Day(Date(DemoHerd.FirstDay)), weeklyMinutes = horse.AgeYears > 4 ? 240 : 90 });
        return new Kept(horse, id, pairingId, seed);
    }

    private async Task<string> SettleSaddleAsync(string yardId, DemoHorse horse)
    {
        var saddleId = await api.MakeAsync("/v1/saddles", new { yardId, label = horse.Saddle, tree = "adjustable", filling = "wool", madeOn = DemoApi.Day(Date(DemoHerd.FirstDay - 200)) });
        await api.PostAsync($"/v1/saddles/{saddleId}/tree-shapes", new
        {
            from = DemoApi.Day(Date(DemoHerd.FirstDay)),
            stations = DemoBack.Stations.Select(s => new { station = s, width150Mm = Math.Round(horse.Back.Width(s, 150, DemoHerd.FirstDay) + 3) }),
            note = "Measured on the tree when the saddle was last fitted.",
        });
        return saddleId;
    }

    private async Task LiveAsync(Kept kept, int day)
    {
        var horse = kept.Horse;
        if (horse.RetiredOn == day)
            await api.PostAsync($"/v1/horses/{kept.Id}/moves", new { on = DemoApi.Day(Date(day)), status = "retired" });
        if (horse.RetiredOn is { } retired && day >= retired)
            return;
        foreach (var phase in horse.Phases.Where(p => p.From == day && day != DemoHerd.FirstDay))
            await api.PostAsync($"/v1/horses/{kept.Id}/phases", new { phase = phase.Phase, from = DemoApi.Day(Date(day)) });
        foreach (var happened in horse.Events.Where(e => e.On == day))
            await api.PostAsync($"/v1/horses/{kept.Id}/events", new { on = DemoApi.Day(Date(day)), kind = happened.Kind, note = happened.Note });
        await SignsAsync(kept, day);
        if ((day - DemoHerd.FirstDay + kept.Seed * 5) % horse.MeasureEvery == 0 && day <= horse.LastMeasured || horse.BadTraceOn == day)
            await MeasureAsync(kept, day);
    }

    private async Task SignsAsync(Kept kept, int day)
    {
        foreach (var sign in kept.Horse.Signs)
        {
            if (sign.On == day)
                kept.SignId = await api.MakeAsync($"/v1/horses/{kept.Id}/observations", new { observedOn = DemoApi.Day(Date(day)), kind = sign.Kind, note = sign.Note });
            if (sign.VetOn == day)
                await api.PostAsync($"/v1/observations/{kept.SignId}/outcome", new { on = DemoApi.Day(Date(day)), by = _people.Vet, role = "vet", outcome = "cleared", note = "Bruise from a stone under the pad; gone." });
        }
    }

    private async Task MeasureAsync(Kept kept, int day)
    {
        var bad = kept.Horse.BadTraceOn == day;
        var first = await api.PostAsync($"/v1/horses/{kept.Id}/measurements", Measurement(kept, day, 60, bad ? 37 : 0, null));
        if (bad)
            await api.PostAsync($"/v1/horses/{kept.Id}/measurements", Measurement(kept, day, 30, 0, first["id"]!.GetValue<string>()));
    }

    private object Measurement(Kept kept, int day, int minutesAgo, double slipMm, string? corrects)
    {
        var session = new Gauss(kept.Seed * 10_000 + day * 3 + minutesAgo);
        var widths = new List<object>();
        var right = kept.Horse.Back.RightLarger?.Invoke(day);
        foreach (var station in DemoBack.Stations)
            foreach (var depth in Depths)
            {
                var truth = kept.Horse.Back.Width(station, depth, day) + session.Next(1.6);
                for (var repeat = 1; repeat <= 2; repeat++)
                    widths.Add(Width(station, depth, truth + session.Next(1.6) + (station == "T13" && repeat == 2 ? slipMm : 0), right, repeat));
            }
        return new
        {
            measuredAt = clock.GetUtcNow().AddMinutes(-minutesAgo),
            measuredBy = _people.Manager,
            method = "flexible-curve",
            exercise = "before",
            stance = new { square = true, head = "neutral" },
            widths,
            weightKg = Math.Round(kept.Horse.Back.Width("T13", 150, day) * 1.5 + session.Next(4)),
            corrects,
        };
    }

    private static object Width(string station, int depthMm, double mm, double? rightLarger, int repeat)
    {
        var width = Math.Round(mm, 1);
        if (rightLarger is not { } larger || depthMm != 150)
            return new { station, depthMm, widthMm = width, repeat };
        var right = Math.Round((width + larger) / 2, 1);
        return new { station, depthMm, widthMm = width, leftHalfMm = Math.Round(width - right, 1), rightHalfMm = right, repeat };
    }

    /// <summary>Once a week the yard books what is open for the fitter's next round.</summary>
    private async Task BookAsync(int day)
    {
        foreach (var check in await ChecksAsync("open"))
        {
            var kept = _herd.First(k => k.Id == check["horseId"]!.GetValue<string>());
            if (check["kind"]!.GetValue<string>() is not ("fit" or "refit" or "flocking") || day > kept.Horse.LastBooked || kept.HasOpenVetFirst(day))
                continue;
            var urgent = check["urgency"]!.GetValue<string>() == "now";
            if (urgent && day >= -3)
                continue;
            await api.ActAsync($"/v1/checks/{check["id"]}", "book", new { on = DemoApi.Day(NextRound(day, urgent)), fitterId = _people.Fitter });
        }
    }

    /// <summary>The fitter's rounds are every five weeks on a weekday; what is urgent is fitted in within three days.</summary>
    private DateOnly NextRound(int day, bool urgent)
    {
        var round = urgent ? day + 2 : day + VisitEvery - (((day - DemoHerd.FirstDay) % VisitEvery) + VisitEvery) % VisitEvery;
        var date = Date(round);
        return date.DayOfWeek == DayOfWeek.Sunday ? date.AddDays(1) : date;
    }

    private async Task<bool> VisitAsync(int day)
    {
        var came = false;
        foreach (var check in (await ChecksAsync("booked")).Where(c => c["bookedOn"]!.GetValue<string>() == DemoApi.Day(Date(day))))
        {
            var kept = _herd.First(k => k.Id == check["horseId"]!.GetValue<string>());
            await api.ActAsync($"/v1/checks/{check["id"]}", "complete", await FindAndAlterAsync(kept, day));
            came = true;
        }
        return came;
    }

    /// <summary>What the fitter finds, and what is altered where the tree is more than 5 mm off: the tree is opened or closed to the back.</summary>
    private async Task<object> FindAndAlterAsync(Kept kept, int day)
    {
        var fit = await api.GetAsync($"/v1/pairings/{kept.PairingId}/fit");
        var off = fit["findings"]!.AsArray().Where(f => f!["value"] is not null)
            .ToDictionary(f => f!["station"]!.GetValue<string>(), f => f!["value"]!.GetValue<double>());
        var zones = off.Where(o => Math.Abs(o.Value) > 5)
            .SelectMany(o => Sides.Select(side => new { side, zone = ZoneOf(o.Key), mm = -Math.Round(o.Value / 2) }))
            .ToList();
        object[] adjustments = zones.Count > 0
            ? [new { kind = "tree", zones }]
            : [new { kind = "flocking", zones = new[] { new { side = "left", zone = "rear", mm = 2 }, new { side = "right", zone = "rear", mm = 2 } } }];
        return new
        {
            on = DemoApi.Day(Date(day)),
            by = _people.Fitter,
            findings = new[] { zones.Count > 0 ? "Tree altered to the back as it is today." : "Sits level; rear panels topped up evenly." },
            adjustments,
        };
    }

    private static string ZoneOf(string station) => station switch { "T8" => "front", "T13" => "middle", _ => "rear" };

    private async Task<IReadOnlyList<JsonNode>> ChecksAsync(string state) =>
        [.. (await api.GetAsync($"/v1/checks?state={state}&limit=500"))["items"]!.AsArray().OfType<JsonNode>()];

    /// <summary>A horse of the demo with its ids.</summary>
    private sealed record Kept(DemoHorse Horse, string Id, string PairingId, int Seed)
    {
        public string? SignId { get; set; }

        public bool HasOpenVetFirst(int day) => Horse.Signs.Any(s => s.Kind == "heat" && s.On <= day && (s.VetOn is not { } vet || vet > day));
    }
}

/// <summary>Normal numbers from a seed.</summary>
internal sealed class Gauss(int seed)
{
    private readonly Random _random = new(seed);

    public double Next(double sd) => sd * Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
}
