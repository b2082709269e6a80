namespace BackTracker.Service.Demo;

/// <summary>A saddle in use on a horse of the demo.</summary>
/// <param name="Saddle">The saddle.</param>
/// <param name="SaddleId">Its id.</param>
internal sealed record DemoTack(DemoSaddle Saddle, string SaddleId);

/// <summary>A horse of the demo with its ids.</summary>
/// <param name="Horse">The horse.</param>
/// <param name="Id">Its id.</param>
/// <param name="Tack">Its saddles.</param>
/// <param name="Seed">Seed of what is drawn for it.</param>
internal sealed record DemoKept(DemoHorse Horse, string Id, IReadOnlyList<DemoTack> Tack, int Seed)
{
    public string? SignId { get; set; }

    public string LastMeasurementId { get; set; } = "";

    public int Sessions { get; set; }
}

/// <summary>Registers the demo's yards, people, horses and saddles.</summary>
internal sealed class DemoSettling(DemoApi api, DateOnly today)
{
    private static readonly string[] Sunday = ["sunday"];
    private readonly Dictionary<string, string> _saddles = [];
    private readonly HashSet<string> _measured = [];

    public DemoPeople People { get; } = new();

    /// <summary>The saddle that is being made to measure.</summary>
    public string BeingMade { get; private set; } = "";

    public async Task<IReadOnlyList<DemoKept>> SettleAsync()
    {
        var larkfield = await api.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London", closedDays = Sunday });
        var mill = await api.MakeAsync("/v1/yards", new { name = "Mill Bottom", timeZone = "Europe/London" });
        await People.SettleAsync(api, larkfield, mill);
        var herd = new List<DemoKept>();
        foreach (var (yard, horses) in new[] { (larkfield, DemoHerd.Larkfield), (mill, DemoHerd.MillBottom) })
            foreach (var horse in horses)
                herd.Add(await HorseAsync(yard, horse, herd.Count + 1));
        BeingMade = await api.MakeAsync("/v1/saddles", new { yardId = larkfield, label = "Bracken's trail saddle", maker = "Gethin, saddler", tree = "rigid", filling = "wool" });
        return herd;
    }

    /// <summary>Puts a saddle into use: its tree is measured on the day, once where horses share it.</summary>
    public async Task SaddleAsync(DemoKept kept, DemoTack tack)
    {
        var (saddle, on) = (tack.Saddle, today.AddDays(tack.Saddle.From));
        if (_measured.Add(tack.SaddleId))
            await api.PostAsync($"/v1/saddles/{tack.SaddleId}/tree-shapes", DemoTree.Known(saddle.TreeBy, kept.Horse.Back, saddle.From, on));
        await api.MakeAsync("/v1/pairings", new
        {
            horseId = kept.Id,
            saddleId = tack.SaddleId,
            from = DemoApi.Day(on),
            weeklyMinutes = saddle.WeeklyMinutes,
            treeFrontFromT8Mm = DemoTree.FrontFromT8Mm,
            riderWeightKg = kept.Horse.RiderKg,
            tackWeightKg = 9,
        });
    }

    private async Task<DemoKept> HorseAsync(string yardId, DemoHorse horse, int seed)
    {
        var id = await api.MakeAsync("/v1/horses", new { yardId, name = horse.Name, sex = horse.Sex, breed = horse.Breed, bornOn = DemoApi.Day(today.AddYears(-horse.AgeYears).AddDays(-20)) });
        foreach (var phase in horse.Phases.Where(phase => phase.From == DemoHerd.FirstDay))
            await api.PostAsync($"/v1/horses/{id}/phases", new { phase = phase.Phase, from = DemoApi.Day(today.AddDays(phase.From)) });
        var tack = new List<DemoTack>();
        foreach (var saddle in horse.Saddles)
            tack.Add(new DemoTack(saddle, await SaddleIdAsync(yardId, saddle)));
        return new DemoKept(horse, id, tack, seed);
    }

    private async Task<string> SaddleIdAsync(string yardId, DemoSaddle saddle)
    {
        if (!_saddles.TryGetValue(saddle.Label, out var id))
            _saddles[saddle.Label] = id = await api.MakeAsync("/v1/saddles", new { yardId, label = saddle.Label, tree = "adjustable", filling = "wool", madeOn = DemoApi.Day(today.AddDays(saddle.From)) });
        return id;
    }
}
