using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Repeatability;

/// <summary>The error of a session: a part that repeats make smaller and a part that they do not.</summary>
/// <param name="RepeatSd">Standard deviation of one reading within its session, in the metric's unit.</param>
/// <param name="SessionSd">Standard deviation between sessions, in the metric's unit.</param>
public readonly record struct MeasurementError(double RepeatSd, double SessionSd)
{
    /// <summary>Most repeats worth asking for (our choice).</summary>
    public const int MostRepeats = 5;

    /// <summary>
    /// Part between sessions to start from, in units of <see cref="Metric.StartingSessionSd"/>: the median of the shipped prior, 1.82 mm where
    /// that is 2 mm; from simulated horses.
    /// </summary>
    public const double StartingShare = .91;

    private const double Sqrt2 = 1.4142135623730951;

    /// <summary>Standard deviation of the mean of a session, r = sqrt(s_w^2 / m + s_session^2).</summary>
    /// <param name="repeats">Repeats of the session, at least 1.</param>
    public double Of(int repeats) => Math.Sqrt((RepeatSd * RepeatSd / repeats) + (SessionSd * SessionSd));

    /// <summary>Least change between two sessions that is real with 95 % confidence, 1.96 sqrt(2) r (Bland and Altman 1996, BMJ 312:1654).</summary>
    /// <param name="repeats">Repeats of each of the two sessions, at least 1.</param>
    public double LeastRealChange(int repeats) => 1.96 * Sqrt2 * Of(repeats);

    /// <summary>
    /// Fewest repeats, 2 to <see cref="MostRepeats"/>, after which what they leave is no more than what no repeat makes smaller: further ones gain
    /// little (our choice). Two at least, because one reading shows no slip.
    /// </summary>
    public int RepeatsThatDo => SessionSd > 0
        ? (int)Math.Clamp(Math.Ceiling(RepeatSd * RepeatSd / (SessionSd * SessionSd)), 2, MostRepeats)
        : MostRepeats;
}
