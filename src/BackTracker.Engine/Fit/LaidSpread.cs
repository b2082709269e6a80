using BackTracker.Engine.Numerics;
using BackTracker.Engine.Sections;

namespace BackTracker.Engine.Fit;

/// <summary>What is known of a finding on a day, from the back alone.</summary>
/// <param name="Value">Value at the expected back.</param>
/// <param name="Shift">By how much its mean over all backs that may be lies above that, because the finding bends.</param>
/// <param name="Slopes">What each coordinate of the back counts for, in the finding's unit for one of its own.</param>
/// <param name="Variance">Variance that comes along those straight lines.</param>
/// <param name="BendVariance">Variance that they do not explain, because the finding bends.</param>
internal readonly record struct LaidNumbers(double Value, double Shift, double[] Slopes, double Variance, double BendVariance);

/// <summary>
/// How the findings of a laid saddle spread around the expected back of a day: the saddle is laid on backs that stand for all that may be,
/// and the straight line that comes closest to each finding over all of them is taken (<see cref="StraightLines"/>). Bridging and rocking
/// bend too sharply for that, since a saddle finds the way to lie in which they are least; but the gaps under the panel are nearly
/// straight, so that both are read off those on backs drawn at random (<see cref="DrawnForm"/>).
/// </summary>
internal sealed class LaidSpread
{
    private readonly BackTrends back;
    private readonly BackState measuredIn;
    private readonly StraightLines lines;
    private readonly double[][] slopes;
    private readonly DrawnForm? drawn;

    /// <summary>Lays the saddle on backs around the expected one.</summary>
    /// <param name="saddle">The saddle.</param>
    /// <param name="back">Trends of the back.</param>
    /// <param name="state">The day.</param>
    /// <param name="expected">The saddle on the expected back of the day.</param>
    /// <param name="scope">Which findings will be asked for.</param>
    public LaidSpread(LaidSaddle saddle, BackTrends back, BackState state, LaidReading expected, FitScope scope)
    {
        (this.back, measuredIn) = (back, state);
        lines = new StraightLines(back.Count, expected.Numbers, point => saddle.TryReadOn(Shifted(point))?.Numbers);
        slopes = [.. Enumerable.Range(0, saddle.Keys.Count).Select(finding => InCoordinates(lines.SlopesOf(finding)))];
        drawn = saddle.Keys.Any(key => scope.Holds(key.Measure) && DrawnForm.Tells(key)) ? new DrawnForm(saddle, expected, lines) : null;
    }

    /// <summary>The spread on a day on which the coordinates are more or less sure.</summary>
    /// <param name="state">The day.</param>
    /// <param name="finding">Which finding.</param>
    /// <param name="next">The spread of a later day.</param>
    /// <param name="share">How far the day lies towards that later one, 0 to 1.</param>
    public LaidNumbers On(BackState state, int finding, LaidSpread next, double share)
    {
        var (along, wider, nextWider) = (new double[back.Count], Wider(state), next.Wider(state));
        for (var i = 0; i < along.Length; i++)
            along[i] = double.Lerp(slopes[finding][i], next.slopes[finding][i], share);
        return new LaidNumbers(
            double.NaN, double.Lerp(lines.ShiftOf(finding) * wider, next.lines.ShiftOf(finding) * nextWider, share), along, VarianceAlong(along, state),
            double.Lerp(lines.BendVarianceOf(finding) * wider * wider, next.lines.BendVarianceOf(finding) * nextWider * nextWider, share));
    }

    /// <summary>
    /// A finding on the drawn backs of a day; null where its straight line tells it well. They move towards those of a later day as the back
    /// grows less sure, and along the straight line as far as the back is expected elsewhere than on the way there.
    /// </summary>
    /// <param name="state">The day.</param>
    /// <param name="finding">Which finding.</param>
    /// <param name="next">The spread of the later day.</param>
    public DrawnVariable? DrawnOn(BackState state, int finding, LaidSpread next)
    {
        if (drawn?.Of(finding) is not { } from || next.drawn?.Of(finding) is not { } to)
            return null;
        var (most, moved) = (Wider(next.measuredIn), 0.0);
        var share = most > 1 ? Math.Clamp((Wider(state) - 1) / (most - 1), 0, 1) : 0;
        for (var i = 0; i < state.Means.Length; i++)
            moved += double.Lerp(slopes[finding][i], next.slopes[finding][i], share) * (state.Means[i] - double.Lerp(measuredIn.Means[i], next.measuredIn.Means[i], share));
        return from.Towards(to, share, moved);
    }

    private double VarianceAlong(double[] along, BackState state)
    {
        var sum = 0.0;
        for (var direction = 0; direction < along.Length; direction++)
        {
            var loading = 0.0;
            for (var i = direction; i < along.Length; i++)
                loading += along[i] * back.LoadingOf(i, direction, state);
            sum += loading * loading;
        }
        return sum;
    }

    // What bends add grows with the spread of the back.
    private double Wider(BackState state)
    {
        var sum = 0.0;
        for (var i = 0; i < state.Sds.Length; i++)
            sum += measuredIn.Sds[i] > 0 ? state.Sds[i] / measuredIn.Sds[i] : 1;
        return sum / state.Sds.Length;
    }

    private double[] Shifted(double[] point)
    {
        var shifted = measuredIn.Means.ToArray();
        for (var i = 0; i < shifted.Length; i++)
        {
            for (var direction = 0; direction <= i; direction++)
                shifted[i] += point[direction] * back.LoadingOf(i, direction, measuredIn);
        }
        return shifted;
    }

    private double[] InCoordinates(double[] alongDirections)
    {
        var along = alongDirections.ToArray();
        for (var i = along.Length - 1; i >= 0; i--)
        {
            for (var after = i + 1; after < along.Length; after++)
                along[i] -= along[after] * back.LoadingOf(after, i, measuredIn);
            var own = back.LoadingOf(i, i, measuredIn);
            along[i] = own > 0 ? along[i] / own : 0;
        }
        return along;
    }
}
