using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace BackTracker.Engine.Trends;

/// <summary>
/// The robust filter over a whole grid: every observation is a mixture of normal, outlier, level step and rate kink, collapsed to one
/// Gaussian by moments. Four grid points of the same memory run side by side. Deterministic, no optimiser, no local optima.
/// </summary>
public static class GridFilter
{
    private const double LeastWeight = 1e-6;

    /// <summary>Filters observations and kicks, in any order of days.</summary>
    /// <param name="model">The prior, in the unit of the values.</param>
    /// <param name="observations">Observations; none gives the prior.</param>
    /// <param name="kicks">Dated changes of rate.</param>
    public static GridPosterior Run(GridModel model, IReadOnlyList<ObservationRow> observations, IReadOnlyList<RateKick> kicks)
    {
        ArgumentNullException.ThrowIfNull(model);
        return Run(model, Timeline.Of(observations, kicks));
    }

    internal static GridPosterior Run(GridModel model, Timeline timeline)
    {
        var packs = LanePack.Of(model.Points);
        var (sightings, transitions) = (Sightings(timeline), new Dictionary<double, Transition[]>());
        var verdicts = new LaneVerdict[packs.Count * timeline.Rows.Length];
        for (var p = 0; p < packs.Count; p++)
        {
            if (!transitions.TryGetValue(packs[p].TauDays, out var shared))
                transitions[packs[p].TauDays] = shared = timeline.Transitions(packs[p].TauDays);
            packs[p].Run(model, timeline.Stops, sightings, shared, verdicts.AsSpan(p * timeline.Rows.Length, timeline.Rows.Length));
        }
        var states = Weigh(model, packs);
        return new GridPosterior(timeline, states, Average(states, packs, verdicts, timeline.Rows.Length));
    }

    private static Sighting[] Sightings(Timeline timeline)
    {
        var sightings = new Sighting[timeline.Rows.Length];
        foreach (var stop in timeline.Stops)
        {
            if (stop.Row < 0)
                continue;
            var row = timeline.Rows[stop.Row];
            sightings[stop.Row] = new Sighting(row.Value, row.NoiseVar, row.BiasShare, Season.On(row.Day), stop.Gap);
        }
        return sightings;
    }

    private static GridState[] Weigh(GridModel model, List<LanePack> packs)
    {
        var scores = packs.SelectMany(pack => pack.Scores()).ToArray();
        var top = scores.Max(score => score.LogPosterior);
        var total = scores.Sum(score => Math.Exp(score.LogPosterior - top));
        var kept = scores.Where(score => Math.Exp(score.LogPosterior - top) / total >= LeastWeight).OrderBy(score => score.Index).ToArray();
        var keptTotal = kept.Sum(score => Math.Exp(score.LogPosterior - top));
        return [.. kept.Select(score => new GridState(Math.Exp(score.LogPosterior - top) / keptTotal, model.Points[score.Index], score.Index)
        {
            State = score.State,
        })];
    }

    private static SurpriseProbabilities[] Average(GridState[] states, List<LanePack> packs, LaneVerdict[] verdicts, int rows)
    {
        var averages = new SurpriseProbabilities[rows];
        for (var p = 0; p < packs.Count; p++)
        {
            var weights = packs[p].LaneWeights(states);
            for (var row = 0; row < rows; row++)
            {
                var verdict = verdicts[p * rows + row];
                averages[row] = new SurpriseProbabilities(
                    averages[row].Outlier + Vector256.Dot(weights, verdict.Outlier),
                    averages[row].Step + Vector256.Dot(weights, verdict.Step),
                    averages[row].Kink + Vector256.Dot(weights, verdict.Kink));
            }
        }
        return averages;
    }

    private readonly record struct Score(int Index, double LogPosterior, FiveStates State);

    /// <summary>Up to four grid points with one memory; empty lanes repeat the last point and are never read.</summary>
    private sealed class LanePack(double tauDays, (GridPoint Point, int Index)[] points)
    {
        private FiveLanes state;
        private Lanes logDensity;

        public double TauDays => tauDays;

        public static List<LanePack> Of(IReadOnlyList<GridPoint> points) =>
            [.. points.Select((point, index) => (Point: point, Index: index))
                .GroupBy(entry => entry.Point.TauDays)
                .SelectMany(group => group.Chunk(Lanes.Count).Select(chunk => new LanePack(group.Key, chunk)))];

        public void Run(GridModel model, Stop[] stops, Sighting[] sightings, Transition[] transitions, Span<LaneVerdict> verdicts)
        {
            var drivingVar = Lane(point => point.DrivingVar);
            var sessionVar = Lane(point => point.SessionSd * point.SessionSd);
            var surprises = model.Surprises;
            state = FiveLanes.Prior(model, Lane(point => point.RateSd));
            for (var i = 0; i < stops.Length; i++)
            {
                state.Propagate(transitions[i], drivingVar);
                if (stops[i].Row < 0)
                {
                    state.Kick(stops[i].KickVar);
                    continue;
                }
                var verdict = state.Update(sightings[stops[i].Row], sessionVar, surprises);
                verdicts[stops[i].Row] = verdict;
                logDensity += verdict.LogDensity;
            }
        }

        public IEnumerable<Score> Scores() =>
            points.Select((entry, lane) => new Score(entry.Index, entry.Point.LogPrior + logDensity[lane], state.Lane(lane)));

        public Lanes LaneWeights(GridState[] states)
        {
            var weights = Lanes.Zero;
            for (var lane = 0; lane < points.Length; lane++)
                weights = weights.WithElement(lane, Array.Find(states, kept => kept.Index == points[lane].Index)?.Weight ?? 0);
            return weights;
        }

        private Lanes Lane(Func<GridPoint, double> value)
        {
            var lanes = Lanes.Zero;
            for (var lane = 0; lane < Lanes.Count; lane++)
                lanes = lanes.WithElement(lane, value(points[Math.Min(lane, points.Length - 1)].Point));
            return lanes;
        }
    }
}
