using BackTracker.Engine.Measures;

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

    /// <summary>The model in the unit of a metric, around a level.</summary>
    internal GridModel For(Metric metric, PriorContext context, double level)
    {
        var scale = metric.StartingSessionSd / ReferenceSessionSd;
        return new GridModel
        {
            Points = GridPoints(scale, context == PriorContext.EventsRecorded ? LogPriorEvents : LogPrior),
            LevelMean = level,
            LevelSd = scale * LevelPriorSd,
            BiasSd = scale * BiasSd,
            SeasonSd = scale * SeasonSd,
            Surprises = Surprises.Times(scale),
        };
    }

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
