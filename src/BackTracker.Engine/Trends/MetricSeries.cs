using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;

namespace BackTracker.Engine.Trends;

/// <summary>One session's value of a metric.</summary>
/// <param name="On">Day of the session.</param>
/// <param name="Mean">Mean of the repeats, in the metric's unit.</param>
/// <param name="Repeats">Number of repeats, at least 1.</param>
/// <param name="Exercise">Before work or unknown; after-work values never enter a series.</param>
/// <param name="RepeatSd">Standard deviation of one reading within the session, in the metric's unit, above 0.</param>
public readonly record struct SeriesPoint(DateOnly On, double Mean, int Repeats, ExerciseState Exercise, double RepeatSd)
{
    /// <summary>Variance of the mean of the repeats, without the part between sessions.</summary>
    internal double RepeatVar => RepeatSd * RepeatSd / Repeats;
}

/// <summary>The dated values of one metric of one horse, with the dated events that may have changed its pace.</summary>
/// <param name="Metric">What was measured.</param>
/// <param name="Points">Sessions in order of day.</param>
/// <param name="EventDays">Days of events and phase changes, in order.</param>
/// <param name="Context">Whether the sessions reach over a dated event, which chooses the prior.</param>
public sealed record MetricSeries(Metric Metric, IReadOnlyList<SeriesPoint> Points, IReadOnlyList<DateOnly> EventDays, PriorContext Context)
{
    /// <summary>Class of the horse at the last session, which chooses among learned priors.</summary>
    public HorseClass Class { get; init; }
}

/// <summary>Which of two priors applies.</summary>
public enum PriorContext
{
    /// <summary>No dated event lies among the sessions: the back may change pace unannounced.</summary>
    NothingRecorded,

    /// <summary>A dated event lies among the sessions: changes of pace are announced.</summary>
    EventsRecorded,
}

/// <summary>Which way a metric is going.</summary>
public enum TrendDirection
{
    /// <summary>The 80 % interval of the rate includes zero, or there are fewer than 3 sessions.</summary>
    NoTrendYet,

    /// <summary>Growing.</summary>
    Rising,

    /// <summary>Shrinking.</summary>
    Falling,

    /// <summary>Known to be moving less in twelve weeks than the least real change.</summary>
    Steady,
}

/// <summary>Rate of change after the last session.</summary>
/// <param name="PerDay">Expected rate, unit a day.</param>
/// <param name="StandardError">Its standard error, unit a day.</param>
/// <param name="ProbabilityRising">Probability that the rate is above zero.</param>
/// <param name="Low80">Lower end of the 80 % interval, unit a day.</param>
/// <param name="High80">Upper end of the 80 % interval, unit a day.</param>
public readonly record struct RateEstimate(double PerDay, double StandardError, double ProbabilityRising, double Low80, double High80);

/// <summary>A session with what the model thinks of it.</summary>
/// <param name="On">Day of the session.</param>
/// <param name="Value">Mean of its repeats.</param>
/// <param name="StandardError">Standard error of the value including the session part, averaged over the grid.</param>
/// <param name="OutlierProbability">Probability that it is an outlier.</param>
/// <param name="StepProbability">Probability that the level stepped here.</param>
/// <param name="KinkProbability">Probability that the rate changed since the session before.</param>
public readonly record struct PointDiagnosis(
    DateOnly On, double Value, double StandardError, double OutlierProbability, double StepProbability, double KinkProbability);

/// <summary>The smoothed level on a day inside the data; for drawing, never for decisions.</summary>
/// <param name="On">The day.</param>
/// <param name="Level">Level with season, in the metric's unit.</param>
/// <param name="StandardError">Its standard error.</param>
public readonly record struct SmoothedLevel(DateOnly On, double Level, double StandardError);
