using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;

namespace BackTracker.Engine.Repeatability;

/// <summary>How well one metric is measured by a person, or by everybody, with a method.</summary>
/// <param name="Method">The method.</param>
/// <param name="Metric">The metric, its station with it.</param>
/// <param name="Sessions">Sessions that hold it.</param>
/// <param name="Repeats">Scatter of the repeats themselves.</param>
/// <param name="Towards">What they are shrunk towards.</param>
/// <param name="Estimate">What is known of one reading within its session.</param>
/// <param name="SessionSd">Standard deviation between sessions, in the metric's unit.</param>
/// <param name="SessionDegreesOfFreedom">Pairs of sessions within a week it was learned from; 0 where it is the starting value.</param>
/// <param name="Used">What trends take for one reading within its session, and from where.</param>
public sealed record MetricRepeatability(
    MeasuringMethod Method, Metric Metric, int Sessions, RepeatScatter Repeats, ErrorEstimate Towards, ErrorEstimate Estimate,
    double SessionSd, int SessionDegreesOfFreedom, LearnedError Used)
{
    /// <summary>The error of a session of one's own.</summary>
    public MeasurementError Error => new(Estimate.Sd, SessionSd);
}

/// <summary>How two sides that measured the same horses within a week agree.</summary>
/// <typeparam name="T">Person or method.</typeparam>
/// <param name="Other">The other side; the differences are of the one asked for less this one.</param>
/// <param name="Method">With what the one asked for measured.</param>
/// <param name="Metric">The metric.</param>
/// <param name="Compared">What was compared: a pair for a horse and a week, at least 2.</param>
public sealed record AgreementWith<T>(T Other, MeasuringMethod Method, Metric Metric, IReadOnlyList<ComparedPair> Compared)
{
    /// <summary>The agreement.</summary>
    public Agreement Agreement => Agreement.Of(Compared);
}

/// <summary>What the sessions of some yards say of how well people measure.</summary>
/// <param name="sessions">The sessions, any order.</param>
public sealed class RepeatStudy(IReadOnlyList<HorseSession> sessions)
{
    private readonly ScatterTable table = ScatterTable.Of(sessions.Select(item => item.Session));
    private readonly List<IReadOnlyList<HorseSession>> spans = [.. ShortSpans.Of(sessions)];

    /// <summary>What trends start from where nothing else is known.</summary>
    public LearnedPriors Learned { get; init; } = LearnedPriors.None;

    /// <summary>Every metric that a person measured, by method and from front to rear.</summary>
    public IReadOnlyList<MetricRepeatability> OfPerson(string personId) => Each(
        item => item.Session.MeasuredBy == personId,
        (method, metric) => (table.Of(personId, method, metric), table.PriorFor(personId, method, metric), table.Used(personId, method, metric)));

    /// <summary>Every metric that was measured with a method, by whomever, from front to rear.</summary>
    public IReadOnlyList<MetricRepeatability> OfMethod(MeasuringMethod method) => Each(
        item => item.Session.Method == method,
        (_, metric) => (table.Of(method, metric), ErrorEstimate.Starting(metric), table.Used(ScatterTable.Nobody, method, metric)));

    /// <summary>What is known of each person who measured a metric with a method, by id.</summary>
    public IReadOnlyDictionary<string, ErrorEstimate> PeopleOf(MeasuringMethod method, Metric metric) =>
        table.PeopleOf(method, metric).Where(person => person.Key != ScatterTable.Nobody).ToDictionary(person => person.Key, person => table.PersonError(person.Key, method, metric));

    /// <summary>The second reading less the first of every session of a person that repeats a metric.</summary>
    public IReadOnlyList<ComparedPair> RepeatsOf(string personId, MeasuringMethod method, Metric metric) =>
    [
        .. sessions.Where(item => item.Session.MeasuredBy == personId && item.Session.Method == method)
            .Select(item => item.Values(metric)).Where(values => values.Length > 1).Select(values => ComparedPair.Of(values[1], values[0])),
    ];

    /// <summary>How a person agrees with each other one who measured the same horses with the same method within a week.</summary>
    public IReadOnlyList<AgreementWith<string>> OthersThan(string personId) => Compare(
        item => item.Session.MeasuredBy == personId, item => item.Session.MeasuredBy, (mine, other) => mine.Session.Method == other.Session.Method);

    /// <summary>How a method agrees with each other one that measured the same horses within a week, by whomever.</summary>
    public IReadOnlyList<AgreementWith<MeasuringMethod>> OthersThan(MeasuringMethod method) => Compare(
        item => item.Session.Method == method, item => item.Session.Method, (_, _) => true);

    private List<MetricRepeatability> Each(
        Func<HorseSession, bool> asked, Func<MeasuringMethod, Metric, (RepeatScatter Repeats, ErrorEstimate Towards, LearnedError Used)> known) =>
    [
        .. sessions.Where(asked)
            .SelectMany(item => item.Session.Readings.Select(reading => (item.Session.Method, reading.Metric)).Distinct())
            .CountBy(kind => kind)
            .OrderBy(kind => kind.Key.Method)
            .ThenBy(kind => kind.Key.Metric.Quantity)
            .ThenBy(kind => kind.Key.Metric.Station)
            .ThenBy(kind => kind.Key.Metric.DepthMm)
            .Select(kind => Of(kind.Key.Method, kind.Key.Metric, kind.Value, asked, known(kind.Key.Method, kind.Key.Metric))),
    ];

    private MetricRepeatability Of(
        MeasuringMethod method, Metric metric, int count, Func<HorseSession, bool> asked, (RepeatScatter Repeats, ErrorEstimate Towards, LearnedError Used) known)
    {
        var estimate = known.Towards.After(known.Repeats);
        var nested = NestedSessions.Of(spans.Select(span => (IReadOnlyList<double[]>)
            [.. span.Where(item => asked(item) && item.Session.Method == method).Select(item => item.Values(metric)).Where(values => values.Length > 0)])
            .Where(span => span.Count > 1));
        var learned = nested.Sessions.DegreesOfFreedom >= ScatterTable.FewestRepeats;
        return new MetricRepeatability(
            method, metric, count, known.Repeats, known.Towards, estimate,
            learned ? Math.Sqrt(nested.SessionVar(estimate.Sd * estimate.Sd)) : MeasurementError.StartingShare * metric.StartingSessionSd,
            learned ? nested.Sessions.DegreesOfFreedom : 0,
            known.Used.Basis == ErrorBasis.Starting ? known.Used with { Sd = Learned.SessionSdOf(metric) } : known.Used);
    }

    private List<AgreementWith<T>> Compare<T>(Func<HorseSession, bool> asked, Func<HorseSession, T> side, Func<HorseSession, HorseSession, bool> comparable)
        where T : notnull
    {
        var compared = new Dictionary<(T Other, MeasuringMethod Method, Metric Metric), List<ComparedPair>>();
        foreach (var span in spans)
        {
            foreach (var mine in span.Where(asked).GroupBy(item => item.Session.Method))
            {
                var others = span.Where(item => !asked(item) && comparable(mine.First(), item)).GroupBy(side);
                foreach (var other in others)
                    AddPairs([.. mine], [.. other], (metric, pair) => Add(compared, (other.Key, mine.Key, metric), pair));
            }
        }
        return
        [
            .. compared.Where(found => found.Value.Count > 1)
                .OrderBy(found => found.Key.Other.ToString(), StringComparer.Ordinal)
                .ThenBy(found => found.Key.Method)
                .ThenBy(found => found.Key.Metric.ToString(), StringComparer.Ordinal)
                .Select(found => new AgreementWith<T>(found.Key.Other, found.Key.Method, found.Key.Metric, found.Value)),
        ];
    }

    // One pair for a horse and a week, of the means of all sessions of either side: each session counts once.
    private static void AddPairs(HorseSession[] mine, HorseSession[] others, Action<Metric, ComparedPair> add)
    {
        foreach (var metric in mine.SelectMany(item => item.Session.Readings).Select(reading => reading.Metric).Distinct())
        {
            var (own, other) = (MeanOf(mine, metric), MeanOf(others, metric));
            if (double.IsFinite(own - other))
                add(metric, ComparedPair.Of(own, other));
        }
    }

    private static double MeanOf(HorseSession[] items, Metric metric) =>
        items.Select(item => item.Values(metric)).Where(values => values.Length > 0).Select(values => values.Average()).DefaultIfEmpty(double.NaN).Average();

    private static void Add<TKey>(Dictionary<TKey, List<ComparedPair>> lists, TKey key, ComparedPair value) where TKey : notnull
    {
        if (!lists.TryGetValue(key, out var list))
            lists.Add(key, list = []);
        list.Add(value);
    }
}
