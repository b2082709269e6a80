using BackTracker.Engine.Fit;

namespace BackTracker.Engine.Checks;

/// <summary>What mends a finding.</summary>
internal static class Remedy
{
    /// <summary>
    /// Flocking where it can take up the finding, else a refit. Never thickness under a narrow tree: padding never cures a narrow saddle.
    /// </summary>
    public static CheckKind For(Finding finding, IReadOnlyList<Finding> all, CheckPolicy policy) =>
        finding.FlockingMm <= policy.FlockingLimitMm && !all.Any(other => other.IsNarrow) ? CheckKind.Flocking : CheckKind.Refit;
}
