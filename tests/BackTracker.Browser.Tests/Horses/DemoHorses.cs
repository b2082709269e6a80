using BackTracker.Browser.Tests.Harness;

namespace BackTracker.Browser.Tests;

/// <summary>Horses of the demo, and new ones beside them to write to.</summary>
internal static class DemoHorses
{
    public static async Task<string> IdAsync(Browsing browsing, string name) =>
        (await browsing.Demo.Api.GetAsync("/v1/horses?limit=500")).Items.First(h => h!["name"]!.GetValue<string>() == name)!["id"]!.GetValue<string>();

    /// <summary>A horse of which nothing but its name is known.</summary>
    public static async Task<string> NewAsync(Browsing browsing, string name) =>
        await browsing.Demo.Api.MakeAsync("/v1/horses", new { yardId = await browsing.YardIdAsync(), name });

    /// <summary>A saddle that a horse of the demo does not wear any more.</summary>
    public static async Task<string> EndedPairingAsync(Browsing browsing)
    {
        var saddle = await browsing.Demo.Api.MakeAsync("/v1/saddles", new { yardId = await browsing.YardIdAsync(), label = "Worn out", tree = "adjustable", filling = "wool" });
        return await browsing.Demo.Api.MakeAsync("/v1/pairings", new { horseId = await IdAsync(browsing, "Rowan"), saddleId = saddle, from = "2026-01-01", to = "2026-02-03" });
    }
}
