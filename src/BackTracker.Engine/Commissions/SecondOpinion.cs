using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;

namespace BackTracker.Engine.Commissions;

/// <summary>What tree and back, as measured, say of the places that a person looks at in a trial.</summary>
/// <param name="findings">Findings of the tree on the back on the day of the trial.</param>
public sealed class SecondOpinion(IReadOnlyList<Finding> findings)
{
    private static readonly Dictionary<string, Measure[]> MeasuresOf = new(StringComparer.Ordinal)
    {
        ["place"] = [Measure.Reach, Measure.ShoulderRoom],
        ["spine"] = [Measure.SpineClearance, Measure.PommelClearance],
        ["channel"] = [Measure.Channel],
        ["contact"] = [Measure.Bridging, Measure.Width150, Measure.Width, Measure.Angle],
        ["level"] = [Measure.Balance, Measure.Roll],
        ["rocking"] = [Measure.Rocking],
        ["spine-loaded"] = [Measure.SpineClearance, Measure.PommelClearance],
        ["shoulder"] = [Measure.ShoulderRoom],
    };

    /// <summary>The findings of an item in the place where it was found; none where nothing of it can be computed.</summary>
    public IReadOnlyList<Finding> Of(ItemFinding seen)
    {
        ArgumentNullException.ThrowIfNull(seen);
        return [.. findings.Where(finding => finding.Numbers is not null && MeasuresOf.GetValueOrDefault(seen.Code, []).Contains(finding.Key.Measure)
            && (seen.Side is null || finding.Key.Side is null || finding.Key.Side == seen.Side)
            && (seen.Zone is null || ZoneOf(finding) is not { } zone || zone == seen.Zone))];
    }

    /// <summary>Where the measured tree and back contradict what was seen, in words; empty where they do not or say nothing of it.</summary>
    public string Disagreement(ItemFinding seen)
    {
        var own = Of(seen);
        if (seen.Verdict == ItemVerdict.Pass && own.FirstOrDefault(finding => finding.Severity == Severity.Out) is { } against)
            return $"{Words.Sentence(TrialItem.NameOf(seen.Code))} was found as it should be, but from tree and back as measured: {against.Text} Look at it again.";
        if (seen.Verdict != ItemVerdict.Pass && own.Count > 0 && own.All(finding => finding.Severity == Severity.Ok))
            return $"{Words.Sentence(TrialItem.NameOf(seen.Code))} was not found as it should be, but tree and back as measured say nothing against it: {own[0].Text} What was found on the horse comes first; measure tree and back again.";
        return "";
    }

    private static Zone? ZoneOf(Finding finding) => finding.Third ?? (finding.Near is { } station ? EffectiveTree.ZoneOf(station) : null);
}
