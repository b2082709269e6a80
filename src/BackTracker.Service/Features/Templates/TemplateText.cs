using System.Globalization;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Sections;
using BackTracker.Service.Features.Commissions;
using BackTracker.Service.Features.Profiles;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Templates;

/// <summary>What a full-size sheet says beside its lines.</summary>
internal static class TemplateText
{
    public const string Check = "Both ruled lines must measure 100 mm. Where they do not, cut nothing by this sheet: print it again at 100 % (actual size), not fitted to the page.";

    public const string Join = "Lay the sheets over one another so that crosses of the same number cover each other; the strip they share is 20 mm wide.";

    public const string Caution = "Drawn from a few traces of one day: a model of the back and not the back. Hold what was cut by it against the horse before the work goes on. The judgement of a qualified fitter comes first.";

    private const double Cover = .8;

    /// <summary>Where the section lies and which way it is seen.</summary>
    public static string Place(Station station, double? positionMm, bool isMarked) =>
        $"{station}{(positionMm is { } mm and not 0 ? string.Create(CultureInfo.InvariantCulture, $", {mm:0} mm behind T8") : "")}, seen from behind: the tail is towards you, the head away from you. "
        + (isMarked ? "Spine and a level line were marked on every trace." : "Spine and a level line were not marked on every trace: left and right must not be compared.");

    /// <summary>What the full line is, and how far the repeats lie apart.</summary>
    public static string Spread(PolarMean mean, int repeats) => repeats == 1
        ? "Full line: a single trace. Nothing tells how well it would repeat."
        : string.Create(
            CultureInfo.InvariantCulture,
            $"Full line: mean of {repeats} traces. Grey: one standard deviation of them to either side, {mean.SdMm.Average():0.0} mm on average and {mean.SdMm.Max():0.0} at most.");

    /// <summary>Widths of the line as it is drawn, to be held against a ruler.</summary>
    public static string Widths(PolarMean mean)
    {
        var metrics = new ProfileMetrics(mean.ToSection());
        string[] widths =
        [
            .. new[] { ProfileMetrics.UpperDepthMm, ProfileMetrics.LowerDepthMm }.Select(depth => (Depth: depth, Width: metrics.WidthMm(depth))).Where(at => double.IsFinite(at.Width))
                .Select(at => string.Create(CultureInfo.InvariantCulture, $"{at.Width:0} mm wide {at.Depth} mm below the skin over the spine")),
        ];
        return widths.Length == 0 ? "" : $"The full line is {string.Join(" and ", widths)}.";
    }

    /// <summary>What the broken line is and how sure it is.</summary>
    public static string Expected(ExpectedSection section, DateOnly on)
    {
        int[] depths = [.. new[] { section.HalfWidths[0].DepthMm, section.HalfWidths[^1].DepthMm }.Distinct()];
        var bands = depths.Select(depth => $"{depth} mm down {string.Join(" and ", section.HalfWidths.Where(half => half.DepthMm == depth).Select(Band))}");
        return $"Broken line: expected on {Engine.Words.Day(on)}. With 80 % it lies, from the spine, {string.Join("; ", bands)}. {ProfileWords.Basis(section)}";
    }

    /// <summary>Said where a shape was asked for and none can be told.</summary>
    public static string NotExpected(DateOnly on) => $"What is expected on {Engine.Words.Day(on)} cannot be told: too little was measured before work at this station.";

    /// <summary>Why it should be measured again first; empty while the measurement is fresh.</summary>
    public static string Age(DateOnly measuredOn, DateOnly today) => Template.AgeOn(measuredOn, today) == TemplateAge.Fresh ? "" : TemplateWords.Old(measuredOn, today);

    private static string Band(ExpectedHalfWidth half)
    {
        var (low, high) = half.Band(Cover);
        return string.Create(CultureInfo.InvariantCulture, $"{low:0} to {high:0} mm {(half.Side is { } side ? $"on the {Words.Write(side)}" : "on either side")}");
    }
}
