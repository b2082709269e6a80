using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>What is believed of a trend on the day its paths begin, under one set of dynamics.</summary>
/// <param name="Weight">Posterior weight of the dynamics; those of a start sum to 1.</param>
/// <param name="State">Means and covariances on that day.</param>
/// <param name="DrivingVar">Variance of the noise that drives the rate, unit^2 a day^3.</param>
/// <param name="TauDays">Memory of the rate, days.</param>
internal sealed record PathStart(double Weight, FiveStates State, double DrivingVar, double TauDays);

/// <summary>
/// Paths a level with season may take, each with dynamics of its own: these are shared out over the paths in proportion to their weights
/// (systematic sampling). Along a path the level is exact but for the modes left out of <see cref="PathGrid"/>.
/// </summary>
internal sealed class LevelPaths
{
    /// <summary>Dimension of the part of the level that rate and season do not tell.</summary>
    public const int OwnLevel = 1;

    // Rate, cosine, sine, level: of which the level comes last, so that what the others tell of it is taken off.
    private const int Statics = 4;
    private readonly PathGrid grid;
    private readonly double startDay;
    private readonly RateKick[] kicks;
    private readonly List<(double TauDays, Range Paths)> runs = [];
    private readonly double[][] statics;
    private readonly double[][] driven;
    private readonly double[][] kicked;

    /// <summary>Draws paths.</summary>
    /// <param name="starts">What is believed at the start.</param>
    /// <param name="startDay">The start, on the scale of the season and the kicks.</param>
    /// <param name="kicks">Dated changes of rate after the start.</param>
    /// <param name="grid">Days to be looked at.</param>
    /// <param name="normals">Standard normal draws of a dimension, one a path: rate, level, then the modes, cosine, sine, and the kicks.</param>
    public LevelPaths(IEnumerable<PathStart> starts, double startDay, RateKick[] kicks, PathGrid grid, Func<int, double[]> normals)
    {
        (this.grid, this.startDay, this.kicks) = (grid, startDay, kicks);
        const int afterLevel = OwnLevel + 1;
        double[][] drawn = [normals(0), normals(afterLevel + grid.Modes), normals(afterLevel + grid.Modes + 1), normals(OwnLevel)];
        Count = drawn[0].Length;
        (OwnSds, statics) = (new double[Count], [.. drawn.Select(_ => new double[Count])]);
        driven = [.. Enumerable.Range(afterLevel, grid.Modes).Select(dimension => (double[])normals(dimension).Clone())];
        kicked = [.. kicks.Select((_, i) => normals(Statics + grid.Modes + i))];
        var (from, share) = (0, 0.0);
        foreach (var start in starts.OrderBy(start => start.TauDays))
        {
            share += start.Weight;
            var to = Math.Min(Count, (int)Math.Round(share * Count));
            Take(start, from..to, drawn);
            from = to;
        }
    }

    /// <summary>How many paths.</summary>
    public int Count { get; }

    /// <summary>Standard deviation of the part of the level that rate and season do not tell, of each path.</summary>
    public double[] OwnSds { get; }

    /// <summary>The level of every path on a day of the grid.</summary>
    public double[] On(int node)
    {
        var levels = (double[])statics[^1].Clone();
        var season = Season.On(startDay + grid[node]);
        Rows.Add(levels, season.Cos, statics[1]);
        Rows.Add(levels, season.Sin, statics[2]);
        foreach (var (tauDays, paths) in runs)
        {
            var run = levels.AsSpan(paths);
            var modes = grid.ModesOf(tauDays);
            Rows.Add(run, Transition.Over(grid[node], tauDays).LevelFromRate, statics[0].AsSpan(paths));
            for (var mode = 0; mode < modes.Length; mode++)
                Rows.Add(run, modes[mode][node], driven[mode].AsSpan(paths));
            for (var i = 0; i < kicks.Length; i++)
            {
                if (startDay + grid[node] - kicks[i].Day is > 0 and var since)
                    Rows.Add(run, kicks[i].Sd * Transition.Over(since, tauDays).LevelFromRate, kicked[i].AsSpan(paths));
            }
        }
        return levels;
    }

    private void Take(PathStart start, Range paths, double[][] drawn)
    {
        var (from, count) = paths.GetOffsetAndLength(Count);
        if (count == 0)
            return;
        if (runs.Count > 0 && runs[^1].TauDays == start.TauDays)
            runs[^1] = (start.TauDays, runs[^1].Paths.Start..paths.End);
        else
            runs.Add((start.TauDays, paths));
        var state = start.State;
        double[] means = [state.S, state.C, state.N, state.L];
        var lower = Cholesky.Of(new[,]
        {
            { state.SS, state.SC, state.SN, state.LS },
            { state.SC, state.CC, state.CN, state.LC },
            { state.SN, state.CN, state.NN, state.LN },
            { state.LS, state.LC, state.LN, state.LL },
        });
        for (var part = 0; part < Statics; part++)
        {
            var run = statics[part].AsSpan(paths);
            run.Fill(means[part]);
            for (var dimension = 0; dimension <= part; dimension++)
                Rows.Add(run, lower[part, dimension], drawn[dimension].AsSpan(paths));
        }
        OwnSds.AsSpan(paths).Fill(lower[Statics - 1, Statics - 1]);
        var drivingSd = Math.Sqrt(start.DrivingVar);
        foreach (var mode in driven)
        {
            foreach (ref var value in mode.AsSpan(paths))
                value *= drivingSd;
        }
    }
}
