using System.Runtime.InteropServices;
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

/// <summary>
/// Scatter of repeats by person, method and metric, and what is known of each from it. A session after work counts too: its repeats were
/// taken one after the other all the same.
/// </summary>
public sealed class ScatterTable
{
    /// <summary>
    /// Repeats beyond the first from which on somebody's own scatter is used, and from which on a method's is: twenty pairs, which tell a
    /// standard deviation to about a sixth (our choice).
    /// </summary>
    public const int FewestRepeats = 20;

    /// <summary>Who measured where nobody said: their repeats count for the method, never for a person.</summary>
    internal const string Nobody = "";

    // No hand is twice as steady as the metric's starting value says: repeats that always agree were copied, not measured (our choice).
    private const double LeastShare = .5;

    private readonly Dictionary<(MeasuringMethod Method, Metric Metric), SortedDictionary<string, RepeatScatter>> people = [];

    /// <summary>The table of sessions, of whichever horses.</summary>
    public static ScatterTable Of(IEnumerable<SessionFact> sessions)
    {
        ArgumentNullException.ThrowIfNull(sessions);
        var (table, running) = (new ScatterTable(), new Dictionary<Metric, Running>());
        foreach (var session in sessions)
        {
            running.Clear();
            foreach (var reading in session.Readings)
                CollectionsMarshal.GetValueRefOrAddDefault(running, reading.Metric, out _).Add(reading.Value);
            foreach (var (metric, repeats) in running)
                table.Add(session, metric, repeats.Scatter);
        }
        return table;
    }

    /// <summary>The repeat errors that trends of a horse go by.</summary>
    /// <param name="horse">Sessions of the horse.</param>
    public MeasurementErrors ErrorsFor(IEnumerable<SessionFact> horse) => new(
    [
        .. horse.SelectMany(session => session.Readings.Select(reading => (session.MeasuredBy, session.Method, reading.Metric)))
            .Distinct()
            .Select(need => Used(need.MeasuredBy, need.Method, need.Metric))
            .Where(error => error.Basis != ErrorBasis.Starting)
            .OrderBy(error => error.PersonId, StringComparer.Ordinal)
            .ThenBy(error => error.Method)
            .ThenBy(error => error.Metric.ToString(), StringComparer.Ordinal),
    ]);

    /// <summary>Everybody with readings of a metric by a method, in order of id.</summary>
    internal IReadOnlyDictionary<string, RepeatScatter> PeopleOf(MeasuringMethod method, Metric metric) =>
        people.TryGetValue((method, metric), out var found) ? found : new SortedDictionary<string, RepeatScatter>();

    internal RepeatScatter Of(string person, MeasuringMethod method, Metric metric) => PeopleOf(method, metric).GetValueOrDefault(person);

    internal RepeatScatter Of(MeasuringMethod method, Metric metric) => RepeatScatter.Sum(PeopleOf(method, metric).Values);

    /// <summary>What is known of a method: everybody's repeats, shrunk towards the starting value.</summary>
    internal ErrorEstimate MethodError(MeasuringMethod method, Metric metric) => ErrorEstimate.Starting(metric).After(Of(method, metric));

    /// <summary>What is known of a person: their repeats, shrunk towards the others.</summary>
    internal ErrorEstimate PersonError(string person, MeasuringMethod method, Metric metric) =>
        PriorFor(person, method, metric).After(Of(person, method, metric));

    /// <summary>
    /// What a person is shrunk towards: how people differ where enough of them are known, else the others with the method, themselves shrunk
    /// towards the starting value. Without others that is the starting value.
    /// </summary>
    internal ErrorEstimate PriorFor(string person, MeasuringMethod method, Metric metric)
    {
        var all = PeopleOf(method, metric);
        RepeatScatter[] known = [.. all.Where(IsTelling).Select(other => other.Value)];
        if (known.Length >= PeopleSpread.FewestPeople)
            return PeopleSpread.PriorOf(known);
        var others = RepeatScatter.Sum(all.Where(other => other.Key != person).Select(other => other.Value));
        return new ErrorEstimate(ErrorEstimate.PriorWeight, ErrorEstimate.Starting(metric).After(others).Sd);
    }

    /// <summary>What a trend takes for the repeat error of a person's session.</summary>
    internal LearnedError Used(string person, MeasuringMethod method, Metric metric)
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

    // Welford 1962, Technometrics 4:419-420: one pass, as exact as two.
    private struct Running
    {
        private int count;
        private double mean;
        private double squares;

        public readonly RepeatScatter Scatter => new(count - 1, squares);

        public void Add(double value)
        {
            var off = value - mean;
            mean += off / ++count;
            squares += off * (value - mean);
        }
    }
}
