using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Muscle;

/// <summary>Which way a profile goes once weight and condition are taken out.</summary>
public enum MuscleDirection
{
    /// <summary>Weight could not be taken out: whatever the profile does may be weight.</summary>
    NotSeparated,

    /// <summary>It fills out: the 80 % interval of its rate lies above zero.</summary>
    Gaining,

    /// <summary>Known to move less in twelve weeks than the least real change.</summary>
    Holding,

    /// <summary>It hollows: the 80 % interval of its rate lies below zero.</summary>
    Losing,

    /// <summary>Not enough is known to say.</summary>
    Unclear,
}

/// <summary>Why weight could not be taken out.</summary>
public enum WeightGap
{
    /// <summary>It could.</summary>
    None,

    /// <summary>How the measure goes with weight was not learned yet.</summary>
    NotLearned,

    /// <summary>The horse was weighed too seldom, or not lately.</summary>
    NotWeighed,
}

/// <summary>The rate of what is left of a profile without weight and condition.</summary>
/// <param name="PerFourWeeks">Expected change in four weeks, in the measure's unit.</param>
/// <param name="PerFourWeeksSe">Its standard error, that of the share of weight counted in.</param>
/// <param name="WithWeightPerFourWeeks">Change in four weeks that goes with weight and condition, in the measure's unit.</param>
/// <param name="ProbabilityGaining">Probability that the rest is growing.</param>
/// <param name="Basis">By what weight was taken out.</param>
public sealed record RemainderRate(double PerFourWeeks, double PerFourWeeksSe, double WithWeightPerFourWeeks, double ProbabilityGaining, WeightBasis Basis);

/// <summary>What a measure of the back does beside weight and condition. It is a change of profile; that it is muscle is the likely reading and no more.</summary>
/// <param name="Metric">The measure.</param>
/// <param name="Profile">Which way the measure itself goes.</param>
/// <param name="Direction">Which way it goes without weight and condition.</param>
/// <param name="Gap">Why weight could not be taken out.</param>
/// <param name="Rate">The numbers; null where weight could not be taken out.</param>
public sealed record MuscleChange(Metric Metric, TrendDirection Profile, MuscleDirection Direction, WeightGap Gap, RemainderRate? Rate)
{
    /// <summary>The side; null for both together.</summary>
    public Side? Side => Metric.Quantity switch
    {
        Quantity.HalfLeft or Quantity.FillLeft => Assessments.Side.Left,
        Quantity.HalfRight or Quantity.FillRight => Assessments.Side.Right,
        _ => null,
    };
}
