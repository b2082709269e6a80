using System.Globalization;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Sections;

namespace BackTracker.Service.Features.Profiles;

/// <summary>Sections and what they lack, in words.</summary>
internal static class ProfileWords
{
    // Bradley and Nankervis 2019.
    private const string FindLastRib = " Find T18 by following the last rib up and forward to the spine rather than by counting back, and mark it.";

    private const string Topline = "Trace the topline along the spine, against a level line: without it the form of the back lengthwise is not known.";

    private static readonly Station[] Usual = [Station.Of(8), Station.Of(13), Station.Of(18)];

    public static string Basis(ExpectedSection section) => section switch
    {
        { Kind: SectionKind.ByWidths } => $"A curve through two widths measured at {section.Station}: a model of the back and not the back.",
        { SidesAreKnown: false } => $"From traces at {section.Station}. Left and right cannot be told apart: both sides are the mean.",
        _ => $"From traces at {section.Station}, left and right told apart by their marks.",
    };

    public static string Dip(double dipMm, double sdMm, double atMm, string? near, DateOnly tracedOn) => string.Create(
        CultureInfo.InvariantCulture,
        $"Topline {dipMm:0} mm below a string laid over it (give or take {sdMm:0}), deepest {Place(atMm, near)}; last traced on {tracedOn:d MMMM yyyy}.");

    /// <summary>What is not known, and the measurement that would bring it; the most telling first.</summary>
    /// <param name="sections">Stations whose section can be told.</param>
    /// <param name="measured">Every station at which something was measured.</param>
    /// <param name="outline">What is known of the back beside its sections.</param>
    public static IReadOnlyList<string> Missing(IReadOnlyList<ExpectedSection> sections, IReadOnlyList<Station> measured, Outline outline)
    {
        var told = sections.Select(section => section.Station).ToList();
        return
        [
            .. Each(Usual.Except(measured), places => $"Trace the back at {places}: nothing was measured there."),
            .. Each(measured.Except(told), places => $"Trace the back at {places}, or measure its widths at 30 and 150 mm: one width tells no section."),
            .. Each(Those(sections, section => section.Kind == SectionKind.ByWidths), places => $"Trace the back at {places}: two widths give a model, a trace gives shape, angle and muscle fill."),
            .. Each(Those(sections, section => section.HalfWidths[^1].DepthMm < ProfileMetrics.LowerDepthMm), places => $"Lay the curve further down the flanks at {places}, to 150 mm below the midline on both sides."),
            .. Each(Those(sections, section => section is { Kind: SectionKind.Traced, SidesAreKnown: false }), places => $"Mark the midline and a level line on every trace at {places}: without both, left and right cannot be told apart."),
            .. Each(measured.Where(station => !outline.PositionsMm.ContainsKey(station)), places => $"Measure how far {places} {(places.Contains(' ', StringComparison.Ordinal) ? "lie" : "lies")} behind T8: without it no tree can be laid there."),
            .. outline.HasTopline ? [] : new[] { Topline },
        ];
    }

    private static IEnumerable<Station> Those(IEnumerable<ExpectedSection> sections, Func<ExpectedSection, bool> which) => sections.Where(which).Select(section => section.Station);

    private static IEnumerable<string> Each(IEnumerable<Station> stations, Func<string, string> say)
    {
        Station[] all = [.. stations];
        if (all.Length > 0)
            yield return say(Listed(all)) + (all[^1].Vertebra == Station.Last ? FindLastRib : "");
    }

    private static string Listed(Station[] stations) => stations.Length == 1
        ? stations[0].ToString()
        : $"{string.Join(", ", stations[..^1])} and {stations[^1]}";

    private static string Place(double atMm, string? near) => string.Create(
        CultureInfo.InvariantCulture, $"{Math.Abs(atMm):0} mm {(atMm < 0 ? "in front of" : "behind")} T8{(near is null or "T8" ? "" : $", near {near}")}");
}
