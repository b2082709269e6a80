using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;

namespace BackTracker.Engine.Trends;

/// <summary>
/// Everything the trend assumes before it sees a horse. Numbers hold for a metric with a within-session SD of
/// <see cref="ReferenceSessionSd"/> and are stretched in proportion for every other metric.
/// </summary>
public sealed partial record TrendModel
{
    /// <summary>Within-session SD for which the numbers below hold: 2 (mm, a width).</summary>
    public const double ReferenceSessionSd = 2;

    /// <summary>Names this set of numbers; stored with every result.</summary>
    public required string Version { get; init; }

    /// <summary>Grid of stationary standard deviations of the rate, unit a day.</summary>
    public required IReadOnlyList<double> RateSds { get; init; }

    /// <summary>Grid of memories of the rate, days.</summary>
    public required IReadOnlyList<double> TausDays { get; init; }

    /// <summary>Grid of between-session standard deviations, unit.</summary>
    public required IReadOnlyList<double> SessionSds { get; init; }

    /// <summary>Log prior of each grid point where nothing is recorded of the horse; rate SD outermost, then tau, then session SD.</summary>
    public required IReadOnlyList<double> LogPrior { get; init; }

    /// <summary>The same where phases or events are recorded.</summary>
    public required IReadOnlyList<double> LogPriorEvents { get; init; }

    /// <summary>SD of the level around the first session, unit: wide, so that the first session sets the level.</summary>
    public double LevelPriorSd { get; init; } = 30;

    /// <summary>SD of the bias of measuring after work, unit.</summary>
    public double BiasSd { get; init; } = 2;

    /// <summary>SD of the cosine and of the sine of the year, unit.</summary>
    public double SeasonSd { get; init; } = 2;

    /// <summary>SD of the change of rate at a dated event, unit a day.</summary>
    public double EventKickSd { get; init; } = .15;

    /// <summary>Probability that a session of unknown exercise was after work.</summary>
    public double UnknownExerciseProbability { get; init; } = .3;

    /// <summary>Size of the effect of work when it is unknown, unit: root of bias variance plus squared mean.</summary>
    public double UnknownExerciseSize { get; init; } = 2.5;

    /// <summary>What may go wrong at a session.</summary>
    public SurpriseModel Surprises { get; init; } = new(new(.03, 15), new(.01, 10), new(.03, .15));

    /// <summary>What was learned over horses, which goes before the numbers above where it has something to say.</summary>
    public LearnedPriors Learned { get; init; } = LearnedPriors.None;

    /// <summary>Weight under which a grid point is dropped.</summary>
    internal double LeastWeight { get; init; } = GridFilter.LeastWeight;

    /// <summary>The model with what was learned over horses; its version names both.</summary>
    /// <param name="learned">What was learned; <see cref="LearnedPriors.None"/> changes nothing.</param>
    public TrendModel With(LearnedPriors learned)
    {
        ArgumentNullException.ThrowIfNull(learned);
        return learned.Name.Length == 0 ? this : this with { Version = $"{Version}+{learned.Name}", Learned = learned };
    }

    /// <summary>The model with a prior that is the same everywhere and no point dropped: what is left is the likelihood.</summary>
    internal TrendModel WithoutPrior() => this with
    {
        LogPrior = new double[LogPrior.Count],
        LogPriorEvents = new double[LogPrior.Count],
        Learned = Learned with { Priors = [] },
        LeastWeight = 0,
    };

    /// <summary>Weight of each grid point before anything was learned; they sum to 1.</summary>
    internal double[] ShippedWeights(PriorContext context)
    {
        double[] weights = [.. ShippedLogPrior(context).Select(Math.Exp)];
        var total = weights.Sum();
        return [.. weights.Select(weight => weight / total)];
    }

    /// <summary>Within-session SD of a metric to which everything is stretched, in its unit.</summary>
    internal double SessionSdOf(Metric metric) => Learned.SessionSdOf(metric);

    /// <summary>The model in the unit of a metric, around a level.</summary>
    internal GridModel For(MetricSeries series, double level) => For(series.Metric, series.Class, series.Context, level);

    /// <summary>The same for the metric, class of horse and context of a series.</summary>
    internal GridModel For(Metric metric, HorseClass kind, PriorContext context, double level)
    {
        var scale = SessionSdOf(metric) / ReferenceSessionSd;
        var learned = Learned.Find(new PriorKey(kind, metric.Quantity, context));
        return new GridModel
        {
            Points = GridPoints(scale, learned?.LogPrior(this) ?? ShippedLogPrior(context)),
            LeastWeight = LeastWeight,
            LevelMean = level,
            LevelSd = scale * LevelPriorSd,
            BiasSd = scale * BiasSd,
            SeasonSd = scale * SeasonSd,
            Surprises = Surprises.Times(scale),
        };
    }

    private IReadOnlyList<double> ShippedLogPrior(PriorContext context) => context == PriorContext.EventsRecorded ? LogPriorEvents : LogPrior;

    private List<GridPoint> GridPoints(double scale, IReadOnlyList<double> logPrior)
    {
        var points = new List<GridPoint>(logPrior.Count);
        foreach (var rate in RateSds)
            foreach (var tau in TausDays)
                foreach (var session in SessionSds)
                    points.Add(new GridPoint(scale * rate, tau, scale * session, logPrior[points.Count]));
        return points;
    }
}
