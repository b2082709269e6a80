using System.Runtime.Intrinsics;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace BackTracker.Engine.Trends;

/// <summary>What the sessions before a day lead one to expect of a session on it.</summary>
/// <param name="Level">Expected level with season, in the metric's unit.</param>
/// <param name="LevelSd">Standard deviation of the level, in the metric's unit.</param>
/// <param name="SessionSd">Error of one session, repeats and the part between sessions together, in the metric's unit.</param>
public readonly record struct Expectation(double Level, double LevelSd, double SessionSd);

/// <summary>
/// The trend of one metric while its sessions come in one after the other. It expects what <see cref="MetricTrend"/> fitted to the sessions
/// before would, at the cost of the one session that is new instead of all: a book of years is judged line by line.
/// </summary>
public sealed class RunningTrend
{
    private readonly TrendModel model;
    private readonly SeriesScale scale;
    private readonly DateOnly[] eventDays;
    private readonly DateOnly? bornOn;
    private readonly List<SeriesPoint> points = [];
    private readonly List<double> repeatVars = [];
    private GridModel? grid;
    private List<LanePack> packs = [];
    private (PriorContext Context, HorseClass Class) prior;
    private int seen;
    private int kicked;
    private DateOnly lastStop;

    /// <summary>Begins without sessions.</summary>
    /// <param name="metric">What is measured.</param>
    /// <param name="eventDays">Days on which the pace may have changed; those after a day do not count for it.</param>
    /// <param name="bornOn">Birth date of the horse; null where nobody said.</param>
    /// <param name="model">The numbers to go by.</param>
    public RunningTrend(Metric metric, IEnumerable<DateOnly> eventDays, DateOnly? bornOn, TrendModel model)
    {
        this.bornOn = bornOn;
        this.eventDays = [.. eventDays.Distinct().Order()];
        this.model = model;
        scale = new SeriesScale(metric, model);
    }

    /// <summary>Adds a session, not after work and not before one that was there when something was last expected.</summary>
    public void Add(SeriesPoint point)
    {
        var place = points.Count == 0 || points[^1].On < point.On ? points.Count : Place(points.BinarySearch(point, SeriesOrder.Instance));
        points.Insert(place, point);
        repeatVars.Insert(repeatVars.Count == 0 || repeatVars[^1] <= point.RepeatVar ? repeatVars.Count : Place(repeatVars.BinarySearch(point.RepeatVar)), point.RepeatVar);
        if (place < seen || point.On < lastStop)
            grid = null;
    }

    private static int Place(int found) => found < 0 ? ~found : found;

    /// <summary>What to expect on a day that is not before the last session; false where there is no session yet.</summary>
    public bool TryExpect(DateOnly day, out Expectation expected)
    {
        expected = default;
        if (points.Count == 0)
            return false;
        CatchUp();
        expected = Expect(day);
        return true;
    }

    private void CatchUp()
    {
        var now = (ReachesEvent() ? PriorContext.EventsRecorded : PriorContext.NothingRecorded, HorseClasses.Of(bornOn, points[^1].On));
        if (grid is null || now != prior)
            Begin(now);
        for (; seen < points.Count; seen++)
            See(points[seen]);
    }

    private bool ReachesEvent() => Array.Exists(eventDays, day => day >= points[0].On && day <= points[^1].On);

    private void Begin((PriorContext Context, HorseClass Class) now)
    {
        (prior, seen, lastStop) = (now, 0, points[0].On);
        kicked = Array.FindIndex(eventDays, day => day >= lastStop) is var first && first < 0 ? eventDays.Length : first;
        grid = model.For(scale.Metric, now.Class, now.Context, points[0].Mean);
        packs = LanePack.Of(grid.Points);
        packs.ForEach(pack => pack.Begin(grid));
    }

    private void See(SeriesPoint point)
    {
        for (; kicked < eventDays.Length && eventDays[kicked] <= point.On; kicked++)
            Kick(packs, eventDays[kicked]);
        var gap = point.On.DayNumber - lastStop.DayNumber;
        var row = scale.RowOf(point, Offset(point.On));
        var sighting = new Sighting(row.Value, row.NoiseVar, row.BiasShare, Season.On(row.Day), gap);
        var over = new Spans(gap);
        foreach (var pack in packs)
            pack.See(over.Of(pack.TauDays), sighting, grid!.Surprises);
        lastStop = point.On;
    }

    private void Kick(List<LanePack> kicked, DateOnly day)
    {
        var over = new Spans(day.DayNumber - lastStop.DayNumber);
        foreach (var pack in kicked)
            pack.Kick(over.Of(pack.TauDays), scale.KickSd * scale.KickSd);
        lastStop = day;
    }

    private Expectation Expect(DateOnly day)
    {
        // A change of pace between the last session and the day belongs to that day's session too: taken now, it is not taken again.
        for (; kicked < eventDays.Length && eventDays[kicked] <= day; kicked++)
            Kick(packs, eventDays[kicked]);
        var (season, over) = (Season.On(Offset(day)), new Spans(day.DayNumber - lastStop.DayNumber));
        var weights = Weights();
        double level = 0, square = 0, sessionVar = 0;
        for (var p = 0; p < packs.Count; p++)
        {
            var (mean, var) = packs[p].LevelAfter(over.Of(packs[p].TauDays), season);
            // Squares about the first session, whose size would swallow their digits.
            mean -= Vector256.Create(grid!.LevelMean);
            level += Vector256.Dot(weights[p], mean);
            square += Vector256.Dot(weights[p], var + mean * mean);
            sessionVar += Vector256.Dot(weights[p], packs[p].SessionVar);
        }
        var sessionSd = Math.Sqrt(repeatVars[repeatVars.Count - 1 - repeatVars.Count / 2] + sessionVar);
        return new Expectation(grid!.LevelMean + level, Math.Sqrt(Math.Max(square - level * level, 0)), sessionSd);
    }

    private Lanes[] Weights()
    {
        var (weights, top, total) = (new Lanes[packs.Count], double.NegativeInfinity, 0.0);
        for (var p = 0; p < weights.Length; p++)
            for (var lane = 0; lane < packs[p].Count; lane++)
                top = Math.Max(top, packs[p].LogPosterior[lane]);
        for (var p = 0; p < weights.Length; p++)
        {
            weights[p] = Read(packs[p], Vector256.Exp(packs[p].LogPosterior - Vector256.Create(top)));
            total += Vector256.Sum(weights[p]);
        }
        var kept = 0.0;
        for (var p = 0; p < weights.Length; p++)
        {
            weights[p] &= Vector256.GreaterThanOrEqual(weights[p], Vector256.Create(GridFilter.LeastWeight * total));
            kept += Vector256.Sum(weights[p]);
        }
        for (var p = 0; p < weights.Length; p++)
            weights[p] /= Vector256.Create(kept);
        return weights;
    }

    private static Lanes Read(LanePack pack, Lanes all)
    {
        for (var lane = pack.Count; lane < Lanes.Count; lane++)
            all = all.WithElement(lane, 0);
        return all;
    }

    private double Offset(DateOnly day) => day.DayNumber - points[0].On.DayNumber;

    /// <summary>What a span of days does, for packs that come in order of their memory.</summary>
    private struct Spans(double days)
    {
        private double tauDays;
        private Transition over;

        public Transition Of(double wantedTauDays)
        {
            if (wantedTauDays != tauDays)
                (tauDays, over) = (wantedTauDays, days > 0 ? Transition.Over(days, wantedTauDays) : Transition.None);
            return over;
        }
    }
}
