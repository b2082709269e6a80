using System.Net;
using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Demo;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Browser.Tests;

/// <summary>A saddle that is being made for a traced horse of the demo.</summary>
internal static class DemoCommission
{
    /// <summary>Ordered a month ago; returns the commission's id.</summary>
    public static async Task<string> OrderAsync(Browsing browsing, string horse)
    {
        var (api, yardId) = (browsing.Demo.Api, await browsing.YardIdAsync());
        return await api.MakeAsync("/v1/commissions", new
        {
            horseId = await DemoHorses.IdAsync(browsing, horse),
            saddleId = await api.MakeAsync("/v1/saddles", new { yardId, label = "New trail saddle", tree = "rigid", filling = "wool" }),
            saddlerId = await api.MakeAsync("/v1/people", new { name = "Tamsin Rowe", role = "saddler", yardIds = new[] { yardId } }),
            orderedOn = $"{FilledDemo.Today.AddDays(-30):yyyy-MM-dd}",
            deliveryOn = $"{FilledDemo.Today.AddDays(60):yyyy-MM-dd}",
            orderedTree = new { stations = new[] { new { station = "T13", width150Mm = 312 } }, panel = new { thicknessMm = 25 } },
        });
    }

    /// <summary>The same with its first trial passed.</summary>
    public static async Task<string> PassedAsync(Browsing browsing, string horse)
    {
        var (api, id) = (browsing.Demo.Api, await OnTrialAsync(browsing, horse));
        var on = $"{FilledDemo.Today:yyyy-MM-dd}";
        foreach (var step in (await api.GetAsync($"/v1/commissions/{id}/trial"))["steps"]!.AsArray())
        {
            (await api.PostAsync($"/v1/commissions/{id}/trials", new
            {
                step = step!["step"]!.GetValue<string>(),
                on,
                items = step["items"]!.AsArray().Select(item => new { item = item!["item"]!.GetValue<string>(), verdict = "pass" }),
                bearsLoad = new { on, text = "Straps and bars of this tree carry a rider." },
            })).Should(HttpStatusCode.Created);
        }
        await StageAsync(api, id, "passed");
        return id;
    }

    /// <summary>The same at home, looked at three times.</summary>
    public static async Task<string> BeddingInAsync(Browsing browsing, string horse)
    {
        var (api, id) = (browsing.Demo.Api, await PassedAsync(browsing, horse));
        var (path, on) = ($"/v1/commissions/{id}", $"{FilledDemo.Today:yyyy-MM-dd}");
        var saddleId = (await api.GetAsync(path))["saddleId"]!.GetValue<string>();
        (await api.PostAsync($"/v1/saddles/{saddleId}/tree-shapes", new { from = on, stations = new[] { new { station = "T13", width150Mm = 312 } } })).Should(HttpStatusCode.Created);
        await StageAsync(api, id, "finished");
        await StageAsync(api, id, "delivered");
        foreach (var (riddenHours, clearanceMm) in new[] { (0, 31.0), (5, 28.0), (10, 26.5) })
            (await api.PostAsync($"{path}/bedding-in", new { on, riddenHours, clearanceMm, verdict = "pass", note = "Two fingers at the withers." })).Should(HttpStatusCode.Created);
        return id;
    }

    /// <summary>The same in its first trial.</summary>
    public static async Task<string> OnTrialAsync(Browsing browsing, string horse)
    {
        var id = await OrderAsync(browsing, horse);
        var measured = (await browsing.Demo.Api.GetAsync($"/v1/horses/{await DemoHorses.IdAsync(browsing, horse)}/measurements?limit=500")).Items
            .Where(m => m!["voidedAt"] is null && m["replacedBy"] is null).MaxBy(m => m!["measuredAt"]!.GetValue<string>(), StringComparer.Ordinal)!["id"]!.GetValue<string>();
        foreach (var stage in new[] { "measured", "template-sent", "tree-cut", "tree-trial" })
            await StageAsync(browsing.Demo.Api, id, stage, stage == "measured" ? measured : null);
        return id;
    }

    private static async Task StageAsync(ApiClient api, string id, string stage, string? measurementId = null) => (await api.PostAsync(
        $"/v1/commissions/{id}/stages", new { stage, on = $"{FilledDemo.Today:yyyy-MM-dd}", measurementId, overrideReason = "The horse is steady." },
        ("If-Match", (await api.GetAsync($"/v1/commissions/{id}")).Etag))).Should(HttpStatusCode.OK);
}
