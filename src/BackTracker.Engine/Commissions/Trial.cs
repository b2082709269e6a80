using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Commissions;

/// <summary>What was found of an item.</summary>
/// <param name="Code">The item.</param>
/// <param name="Verdict">What was found.</param>
/// <param name="Mm">By how much to alter, mm; null where nobody said.</param>
/// <param name="Side">On which side; null for both, or where it is of neither.</param>
/// <param name="Zone">In which third; null where nobody said.</param>
/// <param name="Note">What was said of it.</param>
public sealed record ItemFinding(string Code, ItemVerdict Verdict, double? Mm, Side? Side, Zone? Zone, string Note);

/// <summary>How a trial stands.</summary>
public enum TrialVerdict
{
    /// <summary>Steps or items are still to be done.</summary>
    Open,

    /// <summary>Everything is as it should be.</summary>
    Pass,

    /// <summary>Everything was tried, and something is to be altered.</summary>
    Alter,

    /// <summary>Something failed: the saddle is not used until it is put right and tried again.</summary>
    Fail,
}

/// <summary>What else is known when a step is to be begun.</summary>
public enum Bearing
{
    /// <summary>Nobody has said that girth straps and stirrup bars bear load.</summary>
    NotConfirmed,

    /// <summary>The saddler has said so in writing.</summary>
    Confirmed,
}

/// <summary>Whether a vet has to look at the horse first.</summary>
public enum VetFirst
{
    /// <summary>No sign is open.</summary>
    NoSign,

    /// <summary>A sign is open.</summary>
    SignOpen,
}

/// <summary>
/// A trial of a bare tree on a horse, as found item by item. The verdict follows from rules that are shown: a fail anywhere fails it, soreness
/// afterwards too; nothing passes before every item of every step was looked at; one alteration makes it a tree to be altered.
/// </summary>
/// <param name="items">What is to be looked at.</param>
/// <param name="findings">What was found; of several of one item in one place the last counts.</param>
public sealed class Trial(IReadOnlyList<TrialItem> items, IReadOnlyList<ItemFinding> findings)
{
    private static readonly TrialStep[] Mounted = [TrialStep.MountedStill, TrialStep.Walk, TrialStep.Trot];

    /// <summary>Signs of soreness seen on the horse since the trial began and still open, in words: they fail it.</summary>
    public IReadOnlyList<string> SorenessAfter { get; init; } = [];

    /// <summary>Items nobody has looked at yet.</summary>
    public IReadOnlyList<TrialItem> Left => [.. items.Where(item => findings.All(finding => finding.Code != item.Code))];

    /// <summary>What was failed.</summary>
    public IReadOnlyList<ItemFinding> Failed => [.. Standing.Where(finding => finding.Verdict == ItemVerdict.Fail)];

    /// <summary>What is to be altered, from front to rear, left before right: the work list of the saddler.</summary>
    public IReadOnlyList<ItemFinding> WorkList =>
    [
        .. Standing.Where(finding => finding.Verdict == ItemVerdict.Alter)
            .OrderBy(finding => finding.Zone ?? Zone.Rear + 1).ThenBy(finding => finding.Side ?? Side.Right + 1).ThenBy(finding => finding.Code, StringComparer.Ordinal),
    ];

    /// <summary>How it stands.</summary>
    public TrialVerdict Verdict => Failed.Count > 0 || SorenessAfter.Count > 0 ? TrialVerdict.Fail
        : Left.Count > 0 ? TrialVerdict.Open
        : WorkList.Count > 0 ? TrialVerdict.Alter
        : TrialVerdict.Pass;

    /// <summary>Why it stands so, in words.</summary>
    public IReadOnlyList<string> Reasons =>
    [
        .. Failed.Select(finding => $"Failed: {TextOf(finding.Code)} Stop here; it is put right and tried again from the first step."),
        .. SorenessAfter.Select(sign => $"Seen on the horse since the trial began: {sign}. {TrialCautions.Reopened}"),
        .. Left.Count > 0 ? [$"Still to be looked at: {string.Join(", ", Left.Select(item => item.Name))}."] : Array.Empty<string>(),
        .. WorkList.Select(finding => $"To be altered: {TextOf(finding.Code)}"),
    ];

    /// <summary>What keeps a step from being begun, in words; nothing where it may be.</summary>
    /// <param name="step">The step.</param>
    /// <param name="bearing">Whether the saddler has said that straps and bars bear load.</param>
    /// <param name="vet">Whether a vet has to look first.</param>
    public IReadOnlyList<string> Hindering(TrialStep step, Bearing bearing, VetFirst vet)
    {
        var earlier = items.Where(item => item.Step < step).ToList();
        List<string> hindrances = [];
        if (vet == VetFirst.SignOpen)
            hindrances.Add("A vet-first sign is open: nothing is put on this back before a vet has looked.");
        if (Mounted.Contains(step) && bearing == Bearing.NotConfirmed)
            hindrances.Add("Nobody mounts before the saddler has said in writing that girth straps and stirrup bars bear load.");
        if (earlier.Exists(item => Failed.Any(finding => finding.Code == item.Code)))
            hindrances.Add("A step before it failed: stop here.");
        if (earlier.FirstOrDefault(item => Left.Contains(item)) is { } missing)
            hindrances.Add($"The steps come in order: {missing.Code} is still to be looked at.");
        return hindrances;
    }

    /// <summary>What was found last of every item in every place: two places of one item are two findings.</summary>
    public IEnumerable<ItemFinding> Standing => findings.GroupBy(finding => (finding.Code, finding.Zone, finding.Side)).Select(same => same.Last());

    private string TextOf(string code) => items.First(item => item.Code == code).Text;
}
