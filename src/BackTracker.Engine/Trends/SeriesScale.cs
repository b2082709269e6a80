using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Trends;

/// <summary>The sessions of a metric as the filter takes them.</summary>
internal sealed record SeriesScale(Metric Metric, TrendModel Model)
{
    private double Scale => Model.SessionSdOf(Metric) / TrendModel.ReferenceSessionSd;

    /// <summary>SD of the change of rate at a dated event, unit a day.</summary>
    public double KickSd => Scale * Model.EventKickSd;

    /// <summary>A session as an observation, days from any origin.</summary>
    public ObservationRow RowOf(SeriesPoint point, double day) => point.Exercise == ExerciseState.Unknown
        ? new ObservationRow(day, point.Mean, point.RepeatVar + UnknownExerciseVar, Model.UnknownExerciseProbability)
        : new ObservationRow(day, point.Mean, point.RepeatVar, 0);

    private double UnknownExerciseVar
    {
        get
        {
            var (p, size) = (Model.UnknownExerciseProbability, Scale * Model.UnknownExerciseSize);
            return p * (1 - p) * size * size;
        }
    }
}

/// <summary>Sessions of one day in a fixed order, so that the order of the input changes nothing.</summary>
internal sealed class SeriesOrder : IComparer<SeriesPoint>
{
    public static readonly SeriesOrder Instance = new();

    public int Compare(SeriesPoint x, SeriesPoint y) =>
        (x.On, x.Mean, x.Repeats, x.Exercise, x.RepeatSd).CompareTo((y.On, y.Mean, y.Repeats, y.Exercise, y.RepeatSd));
}
