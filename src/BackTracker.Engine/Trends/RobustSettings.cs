namespace BackTracker.Engine.Trends;

/// <summary>Dynamics and prior of the general robust filter: level, rate and any number of static states.</summary>
public sealed record RobustSettings
{
    /// <summary>Variance of the noise that drives the rate, unit^2 a day^3: 2 rateSd^2 / tau.</summary>
    public required double DrivingVar { get; init; }

    /// <summary>Prior variance of the rate at the first observation, (unit a day)^2.</summary>
    public required double RateVar { get; init; }

    /// <summary>Memory of the rate, days; positive infinity for a rate that never dies out.</summary>
    public required double TauDays { get; init; }

    /// <summary>SD of a random walk of the level, unit per root day.</summary>
    public double LevelNoise { get; init; }

    /// <summary>Prior mean of the level at the first observation, unit; ignored under a flat prior.</summary>
    public required double LevelMean { get; init; }

    /// <summary>Prior variance of the level; positive infinity for a flat prior, then the likelihood is of the rest given the first.</summary>
    public required double LevelVar { get; init; }

    /// <summary>Prior variances of the static states; their means are 0.</summary>
    public required IReadOnlyList<double> StaticVars { get; init; }

    /// <summary>What may go wrong at an observation.</summary>
    public required SurpriseModel Surprises { get; init; }

    internal int Size => 2 + StaticVars.Count;
}

/// <summary>One observation of the general filter.</summary>
/// <param name="Day">Its day.</param>
/// <param name="Value">The value, unit.</param>
/// <param name="NoiseVar">Variance of its error, unit^2.</param>
/// <param name="Design">Share of each static state in it.</param>
public sealed record RobustObservation(double Day, double Value, double NoiseVar, IReadOnlyList<double> Design);

/// <summary>A dated change of the rate.</summary>
/// <param name="Day">Its day.</param>
/// <param name="Mean">Expected change, unit a day.</param>
/// <param name="Sd">SD of the change, unit a day.</param>
public readonly record struct RateChange(double Day, double Mean, double Sd);
