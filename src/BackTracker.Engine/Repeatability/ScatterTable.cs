using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Repeatability;

/// <summary>From what the repeat error of a session is taken.</summary>
public enum ErrorBasis
{
    /// <summary>The starting value of the metric: too little was repeated.</summary>
    Starting,

    /// <summary>Everybody who measures with that method.</summary>
    Method,

    /// <summary>The person, with that method.</summary>
    Person,
}

/// <summary>Scatter of repeats by person, method and metric. A session after work counts too: its repeats were taken one after the other all the same.</summary>
internal sealed class ScatterTable
{
    /// <summary>
    /// Repeats beyond the first from which on somebody's own scatter is used, and from which on a method's is: twenty pairs, which tell a
    /// standard deviation to about a sixth (our choice).
    /// </summary>
    public const int FewestRepeats = 20;

    /// <summary>Who measured where nobody said: their repeats count for the method, never for a person.</summary>
    public const string Nobody = "";

    // No hand is twice as steady as the metric's starting value says: repeats that always agree were copied, not measured (our choice).
    private const double LeastShare = .5;

    private readonly Dictionary<(MeasuringMethod Method, Metric Metric), SortedDictionary<string, RepeatScatter>> people = [];

    public static ScatterTable Of(IEnumerable<SessionFact> sessions)
    {
        var table = new ScatterTable();
        foreach (var session in sessions)
        {
            foreach (var repeats in session.Readings.GroupBy(reading => reading.Metric, reading => reading.Value))
                table.Add(session, repeats.Key, RepeatScatter.Of([.. repeats]));
        }
        return table;
    }

    /// <summary>Everybody with readings of a metric by a method, in order of id.</summary>
    public IReadOnlyDictionary<string, RepeatScatter> PeopleOf(MeasuringMethod method, Metric metric) =>
        people.TryGetValue((method, metric), out var found) ? found : new SortedDictionary<string, RepeatScatter>();

    public RepeatScatter Of(string person, MeasuringMethod method, Metric metric) => PeopleOf(method, metric).GetValueOrDefault(person);

    public RepeatScatter Of(MeasuringMethod method, Metric metric) => RepeatScatter.Sum(PeopleOf(method, metric).Values);

    /// <summary>What is known of a method: everybody's repeats, shrunk towards the starting value.</summary>
    public ErrorEstimate MethodError(MeasuringMethod method, Metric metric) => ErrorEstimate.Starting(metric).After(Of(method, metric));

    /// <summary>What is known of a person: their repeats, shrunk towards the others.</summary>
    public ErrorEstimate PersonError(string person, MeasuringMethod method, Metric metric) =>
        PriorFor(person, method, metric).After(Of(person, method, metric));

    /// <summary>
    /// What a person is shrunk towards: how people differ where enough of them are known, else the others with the method, themselves shrunk
    /// towards the starting value. Without others that is the starting value.
    /// </summary>
    public ErrorEstimate PriorFor(string person, MeasuringMethod method, Metric metric)
    {
        var all = PeopleOf(method, metric);
        RepeatScatter[] known = [.. all.Where(IsTelling).Select(other => other.Value)];
        if (known.Length >= PeopleSpread.FewestPeople)
            return PeopleSpread.PriorOf(known);
        var others = RepeatScatter.Sum(all.Where(other => other.Key != person).Select(other => other.Value));
        return new ErrorEstimate(ErrorEstimate.PriorWeight, ErrorEstimate.Starting(metric).After(others).Sd);
    }

    /// <summary>What a trend takes for the repeat error of a person's session.</summary>
    public LearnedError Used(string person, MeasuringMethod method, Metric metric)
    {
        var (basis, estimate) = this switch
        {
            _ when person != Nobody && Of(person, method, metric).DegreesOfFreedom >= FewestRepeats => (ErrorBasis.Person, PersonError(person, method, metric)),
            _ when Of(method, metric).DegreesOfFreedom >= FewestRepeats => (ErrorBasis.Method, MethodError(method, metric)),
            _ => (ErrorBasis.Starting, ErrorEstimate.Starting(metric)),
        };
        return new LearnedError(person, method, metric, basis, estimate.DegreesOfFreedom, Math.Max(estimate.Sd, LeastShare * metric.StartingSessionSd));
    }

    // A single pair says too little of a hand, and a logarithm of nothing cannot be taken.
    private static bool IsTelling(KeyValuePair<string, RepeatScatter> person) =>
        person.Key != Nobody && person.Value is { DegreesOfFreedom: > 1, SumOfSquares: > 0 };

    private void Add(SessionFact session, Metric metric, RepeatScatter scatter)
    {
        if (!people.TryGetValue((session.Method, metric), out var of))
            people.Add((session.Method, metric), of = new(StringComparer.Ordinal));
        of[session.MeasuredBy] = of.GetValueOrDefault(session.MeasuredBy) + scatter;
    }
}
