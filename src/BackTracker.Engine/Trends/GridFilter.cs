using System.Runtime.Intrinsics;

namespace BackTracker.Engine.Trends;

/// <summary>
/// The robust filter over a whole grid: every observation is a mixture of normal, outlier, level step and rate kink, collapsed to one
/// Gaussian by moments. Four grid points of the same memory run side by side. Deterministic, no optimiser, no local optima.
/// </summary>
public static class GridFilter
{
    internal const double LeastWeight = 1e-6;

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
        var kept = scores.Where(score => Math.Exp(score.LogPosterior - top) / total >= model.LeastWeight).OrderBy(score => score.Index).ToArray();
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
}
