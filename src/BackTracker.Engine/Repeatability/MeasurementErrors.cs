using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;

namespace BackTracker.Engine.Repeatability;

/// <summary>The repeat error taken for a metric measured by a person with a method.</summary>
/// <param name="PersonId">The person; empty for sessions of which nobody said who measured.</param>
/// <param name="Method">The method.</param>
/// <param name="Metric">The metric.</param>
/// <param name="Basis">From whose repeats it was learned.</param>
/// <param name="DegreesOfFreedom">How much is known, in repeats beyond the first.</param>
/// <param name="Sd">Standard deviation of one reading within its session, in the metric's unit.</param>
public readonly record struct LearnedError(string PersonId, MeasuringMethod Method, Metric Metric, ErrorBasis Basis, double DegreesOfFreedom, double Sd);

/// <summary>
/// The repeat errors that trends go by: learned where enough was repeated, the starting value of the metric everywhere else.
/// They are parameters: learned once from what a yard measured up to a day, then given to whatever is worked out.
/// </summary>
public sealed class MeasurementErrors
{
    private readonly Dictionary<(string, MeasuringMethod, Metric), LearnedError> byMeasurer;

    /// <summary>Takes what was learned.</summary>
    /// <param name="learned">One entry at most for a person, method and metric.</param>
    public MeasurementErrors(IReadOnlyList<LearnedError> learned)
    {
        Learned = learned;
        byMeasurer = learned.ToDictionary(error => (error.PersonId, error.Method, error.Metric));
    }

    /// <summary>Nothing was learned: every metric has its starting value.</summary>
    public static MeasurementErrors Starting { get; } = new([]);

    /// <summary>What to start from, where it is other than <see cref="Metric.StartingSessionSd"/>: as learned over horses.</summary>
    public IReadOnlyDictionary<Quantity, double> StartingSds { get; init; } = new Dictionary<Quantity, double>();

    /// <summary>What was learned, by person, method and metric; everything else has the starting value of its metric.</summary>
    public IReadOnlyList<LearnedError> Learned { get; }

    /// <summary>The same, starting from what was learned over horses.</summary>
    public MeasurementErrors StartingFrom(LearnedPriors priors)
    {
        ArgumentNullException.ThrowIfNull(priors);
        return new(Learned) { StartingSds = priors.SessionSds.ToDictionary(learned => learned.Quantity, learned => learned.Sd) };
    }

    /// <summary>Standard deviation of one reading of a metric within a session, in the metric's unit.</summary>
    public double RepeatSd(SessionFact session, Metric metric) => Of(session, metric).Sd;

    /// <summary>The repeat error of a metric in a session and from where it is taken.</summary>
    public LearnedError Of(SessionFact session, Metric metric)
    {
        var start = ErrorEstimate.Starting(metric);
        return byMeasurer.TryGetValue((session.MeasuredBy, session.Method, metric), out var learned)
            ? learned
            : new LearnedError(session.MeasuredBy, session.Method, metric, ErrorBasis.Starting, start.DegreesOfFreedom, StartingSds.GetValueOrDefault(metric.Quantity, start.Sd));
    }
}
