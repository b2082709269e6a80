using System.Globalization;
using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commissions;

/// <summary>A yard that has a saddle made for its horse, by a saddler of its own acquaintance.</summary>
internal sealed class CommissioningYard
{
    /// <summary>What is looked at in each step of a trial, in order.</summary>
    public static readonly (string Step, string[] Items)[] Steps =
    [
        ("standing", ["place", "spine", "channel", "contact", "level", "rocking"]),
        ("girthed", ["girth-line", "girth-length", "buckles", "stays"]),
        ("mounted-still", ["settles", "spine-loaded", "shoulder"]),
        ("walk", ["walk-shift", "walk-behaviour"]),
        ("trot", ["trot-shift", "trot-behaviour", "rider"]),
        ("after", ["sweat", "felt-at-once", "felt-next-day"]),
    ];

    private CommissioningYard(RunningService service, Yardful yard) => (Service, Yard) = (service, yard);

    public RunningService Service { get; }

    public Yardful Yard { get; }

    public ApiClient Admin => Service.Admin;

    public string SaddlerId { get; private set; } = "";

    public string SaddleId { get; private set; } = "";

    /// <summary>Address of the commission.</summary>
    public string Path { get; private set; } = "";

    public string Today => Day(0);

    public static async Task<CommissioningYard> SettleAsync(RunningService service) => await InAsync(service, await Yardful.SettleAsync(service));

    /// <summary>A saddler and a saddle that is to be made, in a yard that is there.</summary>
    public static async Task<CommissioningYard> InAsync(RunningService service, Yardful yard)
    {
        return new CommissioningYard(service, yard)
        {
            SaddlerId = await service.Admin.MakeAsync("/v1/people", new { name = "Tamsin Rowe", role = "saddler", yardIds = new[] { yard.YardId } }),
            SaddleId = await service.Admin.MakeAsync("/v1/saddles", new { yardId = yard.YardId, label = "Bramble's new saddle", tree = "rigid", filling = "wool" }),
        };
    }

    public string Day(int ahead) => Yard.Today.AddDays(ahead).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    public object Order(double widthMm, string deliveryOn, string? orderedOn = null) => new
    {
        horseId = Yard.HorseId,
        saddleId = SaddleId,
        saddlerId = SaddlerId,
        orderedOn = orderedOn ?? Today,
        deliveryOn,
        orderedTree = new { stations = new[] { new { station = "T13", width150Mm = widthMm } }, panel = new { thicknessMm = 25 } },
        note = "For long days on the hill.",
    };

    public async Task OrderAsync(double widthMm, int deliveryInDays) =>
        Path = $"/v1/commissions/{await Admin.MakeAsync("/v1/commissions", Order(widthMm, Day(deliveryInDays)))}";

    /// <summary>Tries to move the commission on.</summary>
    public async Task<Reply> TryStageAsync(string stage, string? measurementId = null, string? overrideReason = null) =>
        await Admin.PostAsync($"{Path}/stages", new { stage, on = Today, measurementId, overrideReason }, ("If-Match", (await Admin.GetAsync(Path)).Etag));

    public async Task<Reply> StageAsync(string stage, string? measurementId = null) => (await TryStageAsync(stage, measurementId)).Should(HttpStatusCode.OK);

    public async Task<string> StandsAsync() => (await Admin.GetAsync(Path)).Should(HttpStatusCode.OK)["stage"]!.GetValue<string>();

    /// <summary>From the order to the first trial.</summary>
    public async Task CutAsync(string measurementId, double treeMm)
    {
        await StageAsync("measured", measurementId);
        await StageAsync("template-sent");
        await StageAsync("tree-cut");
        (await Admin.PostAsync($"/v1/saddles/{SaddleId}/tree-shapes", new { from = Today, stations = new[] { new { station = "T13", width150Mm = treeMm } } })).Should(HttpStatusCode.Created);
        await StageAsync("tree-trial");
    }

    /// <summary>From the order to the day on which it is at home.</summary>
    public async Task DeliverAsync(string measurementId)
    {
        await OrderAsync(320, 60);
        await CutAsync(measurementId, 320);
        await TryAllAsync();
        foreach (var stage in new[] { "passed", "finished", "delivered" })
            await StageAsync(stage);
    }

    /// <summary>Records what was found in a step: every item as it should be but those named.</summary>
    public Task<Reply> TryAsync(string step, params (string Item, object Found)[] others) => Admin.PostAsync($"{Path}/trials", new
    {
        step,
        on = Today,
        padMm = 6,
        items = Steps.First(s => s.Step == step).Items.Select(item => others.FirstOrDefault(other => other.Item == item).Found ?? new { item, verdict = "pass" }),
        bearsLoad = step == "mounted-still" ? new { on = Today, text = "Straps and bars of this tree carry a rider." } : null,
    });

    /// <summary>A whole trial in which every item is as it should be but those named.</summary>
    public async Task<Reply> TryAllAsync(params (string Item, object Found)[] others)
    {
        Reply? last = null;
        foreach (var (step, _) in Steps)
            last = (await TryAsync(step, others)).Should(HttpStatusCode.Created);
        return last!;
    }

    public static string Text(System.Text.Json.Nodes.JsonNode? node) => node!.GetValue<string>();
}
