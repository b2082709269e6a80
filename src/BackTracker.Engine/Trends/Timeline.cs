namespace BackTracker.Engine.Trends;

/// <summary>A stop of the filter: a kick of the rate or an observation, after a gap.</summary>
/// <param name="Gap">Days since the stop before.</param>
/// <param name="Row">Index of the observation; -1 for a kick.</param>
/// <param name="KickVar">Variance of the kick; 0 for an observation.</param>
internal readonly record struct Stop(double Gap, int Row, double KickVar);

/// <summary>
/// Observations and kicks in the order the filter meets them. A kick on the day of an observation comes first, one before the first
/// observation is left out (the prior of the rate holds at the first observation), later ones than the last observation wait for forecasts.
/// </summary>
internal sealed class Timeline
{
    private Timeline(ObservationRow[] rows, Stop[] stops, RateKick[] later) => (Rows, Stops, Later) = (rows, stops, later);

    public ObservationRow[] Rows { get; }

    public Stop[] Stops { get; }

    public RateKick[] Later { get; }

    public double FirstDay => Rows[0].Day;

    public double LastDay => Rows[^1].Day;

    public static Timeline Of(IEnumerable<ObservationRow> observations, IEnumerable<RateKick> kicks)
    {
        var rows = observations.OrderBy(row => row.Day).ToArray();
        var ordered = kicks.OrderBy(kick => kick.Day).ToArray();
        if (rows.Length == 0)
            return new Timeline(rows, [], ordered);
        var inside = ordered.Where(kick => kick.Day >= rows[0].Day && kick.Day <= rows[^1].Day).ToArray();
        return new Timeline(rows, Merge(rows, inside), ordered.Where(kick => kick.Day > rows[^1].Day).ToArray());
    }

    private static Stop[] Merge(ObservationRow[] rows, RateKick[] kicks)
    {
        var stops = new Stop[rows.Length + kicks.Length];
        var (row, kick, day) = (0, 0, rows[0].Day);
        for (var i = 0; i < stops.Length; i++)
        {
            var isKick = kick < kicks.Length && kicks[kick].Day <= rows[row].Day;
            var next = isKick ? kicks[kick].Day : rows[row].Day;
            stops[i] = isKick ? new Stop(next - day, -1, kicks[kick].Sd * kicks[kick++].Sd) : new Stop(next - day, row++, 0);
            day = next;
        }
        return stops;
    }

    public Transition[] Transitions(double tauDays)
    {
        var transitions = new Transition[Stops.Length];
        for (var i = 0; i < transitions.Length; i++)
            transitions[i] = Stops[i].Gap > 0 ? Transition.Over(Stops[i].Gap, tauDays) : Transition.None;
        return transitions;
    }
}
