using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit;

/// <summary>The numbers behind a finding on a day, in the unit of its measure.</summary>
/// <param name="Value">Expected value.</param>
/// <param name="Sd">Its standard deviation, from the back and from measuring the tree.</param>
/// <param name="ProbabilityLow">Probability that it lies below the lower out limit, surprises left out.</param>
/// <param name="ProbabilityHigh">Probability that it lies above the upper out limit, surprises left out.</param>
/// <param name="ProbabilityOut">Probability that it is out either way, surprises counted in.</param>
public readonly record struct FindingNumbers(double Value, double Sd, double ProbabilityLow, double ProbabilityHigh, double ProbabilityOut)
{
    /// <summary>The widths compared, where the finding is of two widths.</summary>
    public ComparedWidths? Widths { get; init; }
}

/// <summary>Two widths that were compared, 150 mm below the middle.</summary>
/// <param name="TreeMm">Width of the tree on that day, alterations counted in, mm.</param>
/// <param name="BackMm">Expected width of the back, mm.</param>
/// <param name="BackSdMm">Its standard deviation, mm.</param>
public readonly record struct ComparedWidths(double TreeMm, double BackMm, double BackSdMm);

/// <summary>Tree against back on one day, in one respect.</summary>
/// <param name="Key">Which finding.</param>
/// <param name="On">The day it is about.</param>
/// <param name="TreeShapeId">Id of the tree shape it rests on.</param>
/// <param name="Limits">Its limits.</param>
/// <param name="Numbers">The numbers; null where <paramref name="Severity"/> is unknown because something is missing.</param>
/// <param name="Severity">How it stands.</param>
/// <param name="Text">In words, with numbers and units; what would bring it where it is unknown is told by <see cref="PairingFit.Missing"/>.</param>
public sealed record Finding(
    FindingKey Key, DateOnly On, string TreeShapeId, Limits Limits, FindingNumbers? Numbers, Severity Severity, string Text)
{
    /// <summary>The station it is at or near; null where there is none within 60 mm or it is of the whole saddle.</summary>
    public Station? Near { get; init; }

    /// <summary>The third of the panel it is in; null where it is at a station or of the whole saddle.</summary>
    public Zone? Third { get; init; }

    /// <summary>What was found and its limit, without how it stands: "Tree 6 mm narrower than the back at T13 (limit 14)"; as <see cref="Text"/> where it is unknown.</summary>
    public string Statement => Numbers is { } numbers ? FitWords.Statement(Key, FitWords.Where(Near, Third), numbers, Limits) : Text;

    /// <summary>How much is out that flocking would have to level, mm (hollow, bend, lift): not how much goes in. Infinite where flocking cannot cure it.</summary>
    public double FlockingMm { get; init; } = double.PositiveInfinity;

    /// <summary>Whether it shows a tree that is narrow for the back, or about to be.</summary>
    public bool IsNarrow => Numbers is { } numbers && Severity is Severity.Watch or Severity.Out && MeasureFacts.IsOfWidth(Key.Measure)
        && (MeasureFacts.IsNarrow(Key.Measure, numbers.Value) || (Key.Measure == Measure.Angle ? numbers.ProbabilityHigh > numbers.ProbabilityLow : numbers.ProbabilityLow > numbers.ProbabilityHigh));
}
