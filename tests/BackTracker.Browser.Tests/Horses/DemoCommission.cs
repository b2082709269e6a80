using System.Net;
using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Demo;

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

    /// <summary>The same in its first trial.</summary>
    public static async Task<string> OnTrialAsync(Browsing browsing, string horse)
    {
        var id = await OrderAsync(browsing, horse);
        var path = $"/v1/commissions/{id}";
        var measured = (await browsing.Demo.Api.GetAsync($"/v1/horses/{await DemoHorses.IdAsync(browsing, horse)}/measurements?limit=500")).Items
            .Where(m => m!["voidedAt"] is null && m["replacedBy"] is null).MaxBy(m => m!["measuredAt"]!.GetValue<string>(), StringComparer.Ordinal)!["id"]!.GetValue<string>();
        foreach (var stage in new[] { "measured", "template-sent", "tree-cut", "tree-trial" })
        {
            (await browsing.Demo.Api.PostAsync(
                $"{path}/stages", new { stage, on = $"{FilledDemo.Today:yyyy-MM-dd}", measurementId = stage == "measured" ? measured : null, overrideReason = "The horse is steady." },
                ("If-Match", (await browsing.Demo.Api.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);
        }
        return id;
    }
}
