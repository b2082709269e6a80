namespace BackTracker.Service.Demo;

/// <summary>The saddle that Larkfield has made to measure for a mare that has widened in training since: its bare tree was tried last week, and presses.</summary>
internal sealed class DemoCommission(DemoApi api, DateOnly today)
{
    private const string Name = "Bracken";
    private const int OrderedOn = -140;
    private const int SentOn = -136;
    private const int CutOn = -98;
    private const int CameOn = -12;
    private const int TriedOn = -9;
    private const int DeliveryOn = 42;
    private string _path = "";

    /// <summary>What happens to it on a day.</summary>
    public async Task LiveAsync(DemoSettling yards, IReadOnlyList<DemoKept> herd, int day)
    {
        var horse = herd.First(kept => kept.Horse.Name == Name);
        await (day switch
        {
            OrderedOn => OrderAsync(yards, horse),
            SentOn => StageAsync("template-sent", day, "By post, with the drawing of the spine."),
            CutOn => StageAsync("tree-cut", day, "Cut to the template."),
            CameOn => api.PostAsync($"/v1/saddles/{yards.BeingMade}/tree-shapes", DemoTree.Known(DemoTreeBy.Sides, horse.Horse.Back, OrderedOn, today.AddDays(day))),
            TriedOn => TryAsync(),
            _ => Task.CompletedTask,
        });
    }

    private async Task OrderAsync(DemoSettling yards, DemoKept horse)
    {
        _path = $"/v1/commissions/{await api.MakeAsync("/v1/commissions", new
        {
            horseId = horse.Id,
            saddleId = yards.BeingMade,
            saddlerId = yards.People.Saddler,
            orderedOn = DemoApi.Day(today.AddDays(OrderedOn)),
            deliveryOn = DemoApi.Day(today.AddDays(DeliveryOn)),
            orderedTree = DemoTree.Ordered(horse.Horse.Back, OrderedOn),
            treeFrontFromT8Mm = DemoTree.FrontFromT8Mm,
            note = "For long days on the hill.",
        })}";
        await api.ActAsync(_path, "stages", new { stage = "measured", on = DemoApi.Day(today.AddDays(OrderedOn)), measurementId = horse.LastMeasurementId });
    }

    private async Task StageAsync(string stage, int day, string note) => await api.ActAsync(_path, "stages", new { stage, on = DemoApi.Day(today.AddDays(day)), note });

    /// <summary>Standing and girthed; nobody has mounted yet.</summary>
    private async Task TryAsync()
    {
        await StageAsync("tree-trial", TriedOn, "In the yard, with Tom Gethin.");
        var steps = (await api.GetAsync($"{_path}/trial"))["steps"]!.AsArray();
        foreach (var step in steps.Take(2))
            await api.PostAsync($"{_path}/trials", new
            {
                step = step!["step"]!.GetValue<string>(),
                on = DemoApi.Day(today.AddDays(TriedOn)),
                padMm = 25,
                items = step["items"]!.AsArray().Select(item => Found(item!["item"]!.GetValue<string>())),
            });
    }

    private static object Found(string item) => item == "contact"
        ? new { item, verdict = "alter", mm = 3, zone = "front", note = "Presses at the front edge on both sides." }
        : new { item, verdict = "pass" };
}
