namespace BackTracker.Engine.Trends;

/// <summary>A static bias of a measuring condition.</summary>
/// <param name="Mean">Prior mean, unit.</param>
/// <param name="Var">Prior variance, unit^2.</param>
public readonly record struct StaticBias(double Mean, double Var);

/// <summary>Dynamics and prior of the linear trend.</summary>
public sealed record LinearTrendSettings
{
    /// <summary>Strength of the noise that drives the rate, unit a day^1.5.</summary>
    public required double Sigma { get; init; }

    /// <summary>Memory of the rate, days; positive infinity for a rate that never dies out.</summary>
    public required double TauDays { get; init; }

    /// <summary>Prior mean of the level, unit; ignored under a flat prior.</summary>
    public required double LevelMean { get; init; }

    /// <summary>Prior variance of the level; positive infinity for a flat prior, then the likelihood is of the rest given the first.</summary>
    public required double LevelVar { get; init; }

    /// <summary>Prior variance of the rate, (unit a day)^2.</summary>
    public required double RateVar { get; init; }

    /// <summary>Static biases.</summary>
    public IReadOnlyList<StaticBias> Biases { get; init; } = [];

    /// <summary>Day on which the prior holds; at the first observation where null.</summary>
    public double? PriorDay { get; init; }
}

/// <summary>One observation of the linear trend.</summary>
/// <param name="Day">Its day.</param>
/// <param name="Value">The value, unit.</param>
/// <param name="NoiseVar">Variance of its error, unit^2.</param>
/// <param name="Design">Share of each static bias in it.</param>
public sealed record LinearObservation(double Day, double Value, double NoiseVar, IReadOnlyList<double> Design);

/// <summary>Level and rate on a day, given all observations.</summary>
/// <param name="Day">The day.</param>
/// <param name="Level">Expected level, unit.</param>
/// <param name="Rate">Expected rate, unit a day.</param>
/// <param name="LevelSe">Standard error of the level.</param>
/// <param name="RateSe">Standard error of the rate.</param>
/// <param name="Covariance">Covariance of level and rate.</param>
public readonly record struct LevelAndRate(double Day, double Level, double Rate, double LevelSe, double RateSe, double Covariance);

/// <summary>
/// The trend without surprises: an exact linear filter in square-root form. A day inside the data is smoothed by keeping a copy of that day's
/// level and rate in the state while the filter goes on (fixed-point smoothing: Anderson and Moore 1979, Optimal Filtering, 7.2), which needs
/// no inverse and so keeps its digits with a wide prior, no noise or no variance at all.
/// </summary>
public static class LinearTrend
{
    /// <summary>Log-likelihood of the observations.</summary>
    /// <exception cref="ArgumentException">There is no day for the prior, or an observation is certain beforehand.</exception>
    public static double LogLikelihood(LinearTrendSettings settings, IReadOnlyList<LinearObservation> observations) =>
        Run(settings, Ordered(observations), null).LogLikelihood;

    /// <summary>
    /// Level and rate on a day: smoothed inside the data, forecast after it; before the first day of the prior told backwards, which is exact
    /// for a stationary rate.
    /// </summary>
    /// <exception cref="ArgumentException">There is no day for the prior, a flat prior has no observation, or one is certain beforehand.</exception>
    public static LevelAndRate On(LinearTrendSettings settings, IReadOnlyList<LinearObservation> observations, double day)
    {
        var ordered = Ordered(observations);
        var start = Start(settings, ordered);
        if (ordered.Length == 0 && double.IsPositiveInfinity(settings.LevelVar))
            throw new ArgumentException("A flat level prior needs an observation.", nameof(observations));
        var state = Run(settings, ordered, Math.Max(day, start));
        return day < start ? state.KeptBefore(day, start - day) : state.Kept(day);
    }

    private static LinearObservation[] Ordered(IReadOnlyList<LinearObservation> observations) => [.. observations.OrderBy(o => o.Day)];

    private static double Start(LinearTrendSettings settings, LinearObservation[] ordered)
    {
        if (settings.PriorDay is not { } prior)
            return ordered.Length > 0 ? ordered[0].Day : throw new ArgumentException("Without observations the prior needs a day.", nameof(ordered));
        return ordered.Length == 0 || prior <= ordered[0].Day
            ? prior
            : throw new ArgumentException("The day of the prior is later than the first observation.", nameof(settings));
    }

    private static SquareRootState Run(LinearTrendSettings settings, LinearObservation[] ordered, double? keepDay)
    {
        var state = new SquareRootState(settings, keepDay is null && ordered.Length == 0 ? 0 : Start(settings, ordered));
        var next = 0;
        for (; next < ordered.Length && !(ordered[next].Day > keepDay); next++)
            state.Take(ordered[next]);
        if (keepDay is { } day)
            state.Keep(day);
        for (; next < ordered.Length; next++)
            state.Take(ordered[next]);
        return state;
    }
}
