using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Advice;

/// <summary>What is advised.</summary>
public enum AdviceKind
{
    /// <summary>Nothing that can be done at the panel keeps the saddle in tolerance noticeably longer, and nothing is out.</summary>
    NothingToDo,

    /// <summary>Flocking added or taken.</summary>
    Flocking,

    /// <summary>Shims under a panel that is not filled with wool.</summary>
    Shims,

    /// <summary>Only the tree can be altered, or another taken.</summary>
    TreeOnly,

    /// <summary>It would make left and right unequal: a vet looks first.</summary>
    VetFirst,

    /// <summary>Too little is known.</summary>
    NotKnown,
}

/// <summary>How long a saddle stays in tolerance from a day on, everything counted that moves with the back.</summary>
/// <param name="ProbabilityOut">Probability that it is out on that day, 0 to 1.</param>
/// <param name="RiskLimitOn">First day by which the probability of having left tolerance reaches the risk limit; null where it does not within the horizon.</param>
/// <param name="EvenOn">First day by which it reaches one half; null where it does not within the horizon.</param>
/// <param name="ExpectedDays">Days within tolerance to be expected, of those of the horizon.</param>
public sealed record TimeWithin(double ProbabilityOut, DateOnly? RiskLimitOn, DateOnly? EvenOn, double ExpectedDays);

/// <summary>The small adjustment of the panel that keeps a pairing in tolerance longest, or why there is none.</summary>
/// <param name="Kind">What is advised.</param>
/// <param name="Zones">Where and by how much, mm, + = thicker; none where nothing is to be done at the panel.</param>
/// <param name="AsIs">As it is; null where it cannot be told.</param>
/// <param name="Adjusted">Once adjusted; null where nothing is to be done at the panel.</param>
/// <param name="Text">In words.</param>
public sealed record PanelAdvice(AdviceKind Kind, IReadOnlyList<ZoneChange> Zones, TimeWithin? AsIs, TimeWithin? Adjusted, string Text)
{
    /// <summary>Days in tolerance that it is expected to win within the horizon; 0 where nothing is to be done at the panel.</summary>
    public double GainDays => Adjusted is { } adjusted && AsIs is { } asIs ? adjusted.ExpectedDays - asIs.ExpectedDays : 0;
}
