using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Visits;

/// <summary>A yard with three horses whose trees are 20 mm too narrow, each with a re-fit to be booked.</summary>
internal sealed class VisitingYard(RunningService service, Yardful yard, IReadOnlyList<string> checks, IReadOnlyList<string> horses)
{
    public const string Today = "2026-11-25";
    public const string Tomorrow = "2026-11-26";

    public RunningService Service => service;

    public ApiClient Admin => service.Admin;

    public Yardful Yard => yard;

    /// <summary>The re-fits of Bramble, Sorrel and Teasel.</summary>
    public IReadOnlyList<string> Checks => checks;

    public IReadOnlyList<string> Horses => horses;

    public static async Task<VisitingYard> SettleAsync(RunningService service)
    {
        var yard = await Yardful.SettleAsync(service);
        List<string> horses = [yard.HorseId, await HorseAsync(service, yard, "Sorrel"), await HorseAsync(service, yard, "Teasel")];
        foreach (var horse in horses)
            await MeasureAsync(service, yard, horse, 340);
        await service.SettledAsync();
        var checks = new List<string>();
        foreach (var horse in horses)
            checks.Add((await service.Admin.GetAsync($"/v1/checks?horseId={horse}&state=open")).Items.Single(c => c!["kind"]!.GetValue<string>() == "refit")!["id"]!.GetValue<string>());
        return new VisitingYard(service, yard, checks, horses);
    }

    /// <summary>Plans a visit and returns its path.</summary>
    public async Task<string> PlanAsync(string on = Tomorrow, params string[] checkIds) =>
        $"/v1/visits/{await Admin.MakeAsync("/v1/visits", new { yardId = yard.YardId, fitterId = yard.FitterId, on, checkIds, note = "Ring the bell." })}";

    /// <summary>Moves something on with the version it has.</summary>
    public async Task<Reply> ActAsync(string path, string action, object body) =>
        await Admin.PostAsync($"{path}/{action}", body, ("If-Match", (await Admin.GetAsync(path)).Etag));

    public async Task<Reply> CheckAsync(int which) => (await Admin.GetAsync($"/v1/checks/{checks[which]}")).Should(HttpStatusCode.OK);

    /// <summary>A check's state, its day and its visit.</summary>
    public async Task<(string State, string? On, string? VisitId)> StandingAsync(int which) =>
        await CheckAsync(which) is var check ? (Text(check["state"])!, Text(check["bookedOn"]), Text(check["visitId"])) : default;

    /// <summary>The steps of a check's life after its opening.</summary>
    public async Task<IReadOnlyList<string>> StepsAsync(int which) =>
    [
        .. (await Admin.GetAsync($"/v1/checks/{checks[which]}/history"))["steps"]!.AsArray().Where(s => Text(s!["action"]) is not ("open" or "revise")).Select(s => $"{s!["action"]} {s["note"]}".Trim()),
    ];

    public static string? Text(JsonNode? node) => node?.GetValue<string>();

    private static async Task<string> HorseAsync(RunningService service, Yardful yard, string name)
    {
        var today = yard.Today.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        var horseId = await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name, bornOn = "2014-05-01" });
        await service.Admin.PostAsync($"/v1/horses/{horseId}/phases", new { phase = "steady", from = today });
        var saddleId = await service.Admin.MakeAsync("/v1/saddles", new { yardId = yard.YardId, label = $"{name}'s saddle", tree = "adjustable", filling = "wool" });
        await service.Admin.MakeAsync($"/v1/saddles/{saddleId}/tree-shapes", new { from = today, stations = new[] { new { station = "T13", width150Mm = 320 } } });
        await service.Admin.MakeAsync("/v1/pairings", new { horseId, saddleId, from = today, weeklyMinutes = 240 });
        return horseId;
    }

    private static Task<string> MeasureAsync(RunningService service, Yardful yard, string horseId, double widthMm) => service.Admin.MakeAsync($"/v1/horses/{horseId}/measurements", new
    {
        measuredAt = service.Clock.GetUtcNow(),
        measuredBy = yard.ManagerId,
        method = "flexible-curve",
        exercise = "before",
        widths = new[] { new { station = "T13", depthMm = 150, widthMm = widthMm - .5, repeat = 1 }, new { station = "T13", depthMm = 150, widthMm = widthMm + .5, repeat = 2 } },
    });
}
