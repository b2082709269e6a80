namespace BackTracker.Engine.Trends;

/// <summary>One point of the grid of dynamics.</summary>
/// <param name="RateSd">Stationary SD of the rate, unit a day.</param>
/// <param name="TauDays">Memory of the rate, days.</param>
/// <param name="SessionSd">Between-session SD, unit.</param>
/// <param name="LogPrior">Log of its prior weight, up to a constant.</param>
public readonly record struct GridPoint(double RateSd, double TauDays, double SessionSd, double LogPrior)
{
    /// <summary>Variance of the noise that drives the rate, unit^2 a day^3: 2 rateSd^2 / tau.</summary>
    internal double DrivingVar => 2 * RateSd * RateSd / TauDays;
}

/// <summary>Something that happens with a probability and a size.</summary>
/// <param name="Probability">Probability at each observation; 0 switches it off.</param>
/// <param name="Sd">Standard deviation of its size.</param>
public readonly record struct Surprise(double Probability, double Sd)
{
    internal double Var => Probability > 0 ? Sd * Sd : 0;
}

/// <summary>What may go wrong at an observation besides ordinary noise.</summary>
/// <param name="Outlier">The reading is off by an extra error, unit.</param>
/// <param name="Step">The level has stepped, unit.</param>
/// <param name="Kink">The rate changed at some time since the last observation or event, unit a day.</param>
public readonly record struct SurpriseModel(Surprise Outlier, Surprise Step, Surprise Kink)
{
    internal double NormalProbability => 1 - Outlier.Probability - Step.Probability - Kink.Probability;

    internal SurpriseModel Times(double scale) => new(
        Outlier with { Sd = scale * Outlier.Sd },
        Step with { Sd = scale * Step.Sd },
        Kink with { Sd = scale * Kink.Sd });
}

/// <summary>Prior of the five-state trend (level, rate, bias of work, cosine and sine of the year) in the unit of a metric.</summary>
public sealed record GridModel
{
    /// <summary>The grid; points with the same memory share their transitions.</summary>
    public required IReadOnlyList<GridPoint> Points { get; init; }

    /// <summary>Prior mean of the level at the first observation, unit.</summary>
    public required double LevelMean { get; init; }

    /// <summary>Prior SD of the level, unit.</summary>
    public required double LevelSd { get; init; }

    /// <summary>Prior SD of the bias of work, unit.</summary>
    public required double BiasSd { get; init; }

    /// <summary>Prior SD of the cosine and of the sine of the year, unit.</summary>
    public required double SeasonSd { get; init; }

    /// <summary>What may go wrong at an observation.</summary>
    public required SurpriseModel Surprises { get; init; }

    /// <summary>Share of the whole under which a grid point is dropped.</summary>
    internal double LeastWeight { get; init; } = GridFilter.LeastWeight;
}

/// <summary>One observation as the five-state filter takes it.</summary>
/// <param name="Day">Day of the observation, days from any origin.</param>
/// <param name="Value">The value, unit.</param>
/// <param name="NoiseVar">Variance of its error without the between-session part, unit^2.</param>
/// <param name="BiasShare">Share of the bias of work in it: 0 before work, 1 after, the probability where unknown.</param>
public readonly record struct ObservationRow(double Day, double Value, double NoiseVar, double BiasShare);

/// <summary>A dated change of the rate by an unknown amount with mean 0.</summary>
/// <param name="Day">Its day, on the scale of <see cref="ObservationRow.Day"/>.</param>
/// <param name="Sd">SD of the change, unit a day.</param>
public readonly record struct RateKick(double Day, double Sd);
