using System.Text.Json.Nodes;

namespace BackTracker.Service.Demo;

/// <summary>
/// What the fitter does, from what the service found: a tree that is off the back is opened or closed, else flocking fills a hollow or
/// levels the saddle, evenly left and right unless the marks tell the sides apart. Never thickness under a tree that is narrow. Of the ways
/// to flock the one is taken that the service's what-if likes best.
/// </summary>
internal sealed class DemoFitter(DemoApi api)
{
    private const double RearTakesPart = .6;
    private const double LeastMm = 2;
    private static readonly string[] Sides = ["left", "right"];
    private static readonly string[] Thirds = ["front", "middle", "rear"];

    /// <summary>What was found in a sentence, and what was altered.</summary>
    public async Task<(string Found, object[] Adjustments)> AlterAsync(string pairingId)
    {
        var known = Found.In(await api.GetAsync($"/v1/pairings/{pairingId}/fit"));
        if (known.Any(f => f.Measure is "width" or "width150" or "angle" && f.IsFlagged))
            return Opened(known) is var opened && opened.Sum(zone => zone.Mm) > 0
                ? ("Tree too narrow for the back: opened to it as it is today.", [Change("tree", opened)])
                : ("Tree too wide for the back: closed to it as it is today.", [Change("tree", opened)]);
        if (Worst(known, "bridging", "rocking") is { } hollow)
            return ($"{(hollow.Measure == "bridging" ? "Panel stands off the back" : "Rocks over the middle")}: flocked evenly on both sides.", await BestAsync(pairingId, Fillings(hollow)));
        if (Worst(known, "roll", "balance") is { } tilted)
            return ($"Lies out of level{(tilted.Measure == "roll" ? " to one side, by the marks too" : "")}: flocked on the low side.", [Change("flocking", Level(tilted))]);
        return ("Sits level and follows the back: nothing altered.", []);
    }

    private static Found? Worst(Found[] known, params string[] measures) =>
        known.Where(f => measures.Contains(f.Measure) && f.IsFlagged && f.FlockingMm >= LeastMm).MaxBy(f => f.FlockingMm);

    /// <summary>By how much each third of the tree is opened on each side; the rear follows the middle in part, as the back does.</summary>
    private static List<ZoneMm> Opened(Found[] known)
    {
        var off = known.Where(f => f.Measure is "width" or "width150").ToDictionary(f => f.Station!, f => f.Value);
        var (front, middle) = (off.GetValueOrDefault("T8"), off.GetValueOrDefault("T13"));
        var rear = off.TryGetValue("T18", out var measured) ? measured : RearTakesPart * middle;
        return Both(-Math.Round(front / 2), -Math.Round(middle / 2), -Math.Round(rear / 2));
    }

    /// <summary>The ways to fill a hollow or to stop a saddle rocking: in full or a little less, in the middle or at the ends.</summary>
    private static IEnumerable<List<ZoneMm>> Fillings(Found hollow)
    {
        for (var mm = Math.Round(hollow.FlockingMm); mm >= Math.Max(1, Math.Round(hollow.FlockingMm) - 3); mm--)
        {
            yield return Both(0, mm, 0);
            yield return Both(mm, 0, mm);
            yield return Both(mm, 0, 0);
            yield return Both(0, 0, mm);
        }
    }

    private static List<ZoneMm> Level(Found tilted)
    {
        var mm = Math.Round(tilted.FlockingMm);
        if (tilted.Measure == "balance")
            return tilted.Value > 0 ? Both(0, 0, mm) : Both(mm, 0, 0);
        // Only marked drawings tell the sides apart, so that there is a roll at all.
        return [.. Thirds.Select(zone => new ZoneMm(tilted.Value > 0 ? "right" : "left", zone, mm))];
    }

    private async Task<object[]> BestAsync(string pairingId, IEnumerable<List<ZoneMm>> ways)
    {
        var best = (Left: double.PositiveInfinity, Change: new object());
        foreach (var way in ways)
        {
            var change = Change("flocking", way);
            var tried = await api.PostAsync($"/v1/pairings/{pairingId}/what-if", new { adjustments = new[] { change }, horizonDays = 1 });
            var left = Found.In(tried["fit"]!).Sum(f => f.ProbabilityOut);
            best = left < best.Left ? (left, change) : best;
        }
        return [best.Change];
    }

    private static List<ZoneMm> Both(params double[] mmByThird) =>
        [.. mmByThird.Index().Where(third => third.Item != 0).SelectMany(third => Sides.Select(side => new ZoneMm(side, Thirds[third.Index], third.Item)))];

    private static object Change(string kind, List<ZoneMm> zones) => new { kind, zones = zones.Select(zone => new { side = zone.Side, zone = zone.Zone, mm = zone.Mm }) };

    private sealed record ZoneMm(string Side, string Zone, double Mm);

    /// <summary>A finding as the service gave it.</summary>
    private sealed record Found(string Measure, string? Station, double Value, double FlockingMm, double ProbabilityOut, bool IsFlagged)
    {
        public static Found[] In(JsonNode fit) => [.. fit["findings"]!.AsArray().Where(finding => finding!["value"] is not null).Select(finding => Of(finding!))];

        private static Found Of(JsonNode finding) => new(
            finding["measure"]!.GetValue<string>(), finding["station"]?.GetValue<string>(), finding["value"]!.GetValue<double>(),
            finding["flockingMm"]?.GetValue<double>() ?? 0, finding["probabilityOut"]!.GetValue<double>(), finding["severity"]!.GetValue<string>() is "watch" or "out");
    }
}
