using System.Globalization;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Saddles;

/// <summary>What was altered where, as a fitter says it.</summary>
internal static class ZoneWords
{
    /// <summary>"left front +3 mm, right front +3 mm"; empty where no zone was named.</summary>
    public static string List(IEnumerable<ZoneRequest> zones) => string.Join(", ", zones.Select(zone => string.Create(
        CultureInfo.InvariantCulture, $"{Words.Write(zone.Side!.Value)} {Words.Write(zone.Zone!.Value)} {zone.Mm:+0.#;-0.#;0} mm")));
}
