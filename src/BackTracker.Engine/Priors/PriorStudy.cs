using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Muscle;
using BackTracker.Engine.Repeatability;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Priors;

/// <summary>
/// Takes in horse after horse and says what all of them together teach. Of a horse it keeps days and numbers, no name and no id.
/// What it learns depends on the horses and their order alone. For one thread.
/// </summary>
/// <param name="model">The shipped model, into which what is learned is mixed.</param>
public sealed class PriorStudy(TrendModel model)
{
    /// <summary>Least horses from which anything is learned.</summary>
    public const int LeastHorses = PriorLearning.LeastHorses;

    /// <summary>Least sessions of a series that is learned from: our choice.</summary>
    public const int LeastSessions = 6;

    /// <summary>Least days it reaches over: our choice.</summary>
    public const int LeastDays = 84;

    private readonly List<(int Horse, MetricSeries Series)> series = [];
    private readonly List<(Quantity Quantity, RepeatScatter Scatter)> repeats = [];
    private readonly List<(Metric Metric, WeighedReading[] Readings)> weighed = [];
    private int horses;

    /// <summary>Takes in a horse.</summary>
    /// <param name="facts">What is known of it.</param>
    public void Add(HorseFacts facts)
    {
        ArgumentNullException.ThrowIfNull(facts);
        var before = series.Count;
        foreach (var metric in SeriesBuilder.Trended(facts).SelectMany(session => session.Readings).Select(reading => reading.Metric).Distinct())
        {
            var one = SeriesBuilder.Build(facts, metric);
            if (one.Points.Count >= LeastSessions && one.Points[^1].On.DayNumber - one.Points[0].On.DayNumber >= LeastDays)
                series.Add((horses, one));
        }
        foreach (var own in facts.Sessions.SelectMany(session => session.Readings.GroupBy(reading => reading.Metric)).GroupBy(own => own.Key.Quantity))
            repeats.Add((own.Key, RepeatScatter.OfAll(own.Select(same => (IReadOnlyList<double>)[.. same.Select(reading => reading.Value)]))));
        weighed.AddRange(WeighedSessions.Of(facts));
        horses += series.Count > before ? 1 : 0;
    }

    /// <summary>What the horses teach.</summary>
    /// <param name="name">Names the round.</param>
    public LearnedPriors Learn(string name)
    {
        var start = new LearnedPriors { Name = name, Horses = horses, SessionSds = [.. SessionSdLearning.Of(repeats)] };
        var flat = model.With(start).WithoutPrior();
        SeriesEvidence[] evidence = [.. series.Select(one => SeriesEvidence.Of(one.Horse, one.Series, flat))];
        var (learned, refused) = (new List<LearnedPrior>(), new List<RefusedPrior>());
        foreach (var (key, own) in Keys(evidence))
        {
            var (prior, not) = PriorLearning.Of(key, own, model);
            if (prior is not null)
                learned.Add(prior);
            if (not is not null)
                refused.Add(not);
        }
        var shares = Shares().ToList();
        return start with
        {
            Priors = learned,
            Refused = refused,
            WeightShares = [.. shares.Select(share => share.Share).OfType<WeightShare>()],
            RefusedShares = [.. shares.Select(share => share.Refused).OfType<RefusedShare>()],
        };
    }

    private IEnumerable<(WeightShare? Share, RefusedShare? Refused)> Shares() =>
        from own in weighed.GroupBy(one => one.Metric, one => one.Readings).OrderBy(own => own.Key.Station).ThenBy(own => own.Key.Quantity)
        from basis in Enum.GetValues<WeightBasis>()
        select WeightRegression.Of(own.Key, basis, own, PriorLearning.LeastHorses);

    // Every series says something of all horses; those of known age something of their class too.
    private static IEnumerable<(PriorKey Key, SeriesEvidence[] Series)> Keys(SeriesEvidence[] evidence) => evidence
        .SelectMany(one => new[] { one.Key with { Class = HorseClass.All }, one.Key }.Distinct().Select(key => (key, one)))
        .GroupBy(pair => pair.key, pair => pair.one)
        .OrderBy(own => own.Key.Quantity).ThenBy(own => own.Key.Context).ThenBy(own => own.Key.Class)
        .Select(own => (own.Key, own.ToArray()));
}
