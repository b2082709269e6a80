using BackTracker.Engine.Numerics;
using BackTracker.Engine.Sections;

namespace BackTracker.Engine.Fit;

/// <summary>What is known of a finding on a day, from the back alone.</summary>
/// <param name="Value">Value at the expected back.</param>
/// <param name="Shift">By how much its mean over all backs that may be lies above that, because the finding bends.</param>
/// <param name="Loadings">What each independent direction of the back counts for, for one standard deviation along it.</param>
/// <param name="BendVariance">Variance that no direction explains by itself, because the finding bends.</param>
internal readonly record struct LaidNumbers(double Value, double Shift, double[] Loadings, double BendVariance);

/// <summary>
/// How the findings of a laid saddle spread around the expected back of a day: the saddle is laid on backs that stand for all that may be
/// (<see cref="Cubature"/>), and the straight line that comes closest to each finding over all of them is taken. A tangent at the expected
/// back would miss that bridging and rocking cannot fall below nothing, and that another part of the panel begins to carry.
/// </summary>
internal sealed class LaidSpread
{
    private readonly BackTrends back;
    private readonly BackState measuredIn;
    private readonly double[] shifts;
    private readonly double[] bends;
    private readonly double[][] slopes;

    /// <summary>Lays the saddle on backs around the expected one.</summary>
    /// <param name="saddle">The saddle.</param>
    /// <param name="back">Trends of the back.</param>
    /// <param name="state">The day.</param>
    /// <param name="expected">The findings at the expected back of the day.</param>
    public LaidSpread(LaidSaddle saddle, BackTrends back, BackState state, double[] expected)
    {
        (this.back, measuredIn) = (back, state);
        var findings = saddle.Keys.Count;
        (shifts, bends, slopes) = (new double[findings], new double[findings], [.. Enumerable.Range(0, findings).Select(_ => new double[back.Count])]);
        var points = Cubature.Points(back.Count);
        foreach (var point in points)
            Count(point, expected, saddle.TryValuesOn(Shifted(point, 1)), saddle.TryValuesOn(Shifted(point, -1)));
        for (var finding = 0; finding < findings; finding++)
            Settle(finding, 2 * points.Count);
    }

    /// <summary>The spread on a day on which the coordinates are more or less sure.</summary>
    /// <param name="state">The day.</param>
    /// <param name="finding">Which finding.</param>
    /// <param name="next">The spread of a later day.</param>
    /// <param name="share">How far the day lies towards that later one, 0 to 1.</param>
    public LaidNumbers On(BackState state, int finding, LaidSpread next, double share)
    {
        var (loadings, wider, nextWider) = (new double[back.Count], Wider(state), next.Wider(state));
        for (var i = 0; i < loadings.Length; i++)
        {
            var slope = double.Lerp(slopes[finding][i], next.slopes[finding][i], share);
            for (var direction = 0; slope != 0 && direction <= i; direction++)
                loadings[direction] += slope * back.LoadingOf(i, direction, state);
        }
        return new LaidNumbers(
            double.NaN, double.Lerp(shifts[finding] * wider, next.shifts[finding] * nextWider, share), loadings,
            double.Lerp(bends[finding] * wider * wider, next.bends[finding] * nextWider * nextWider, share));
    }

    // What bends add grows with the spread of the back.
    private double Wider(BackState state)
    {
        var sum = 0.0;
        for (var i = 0; i < state.Sds.Length; i++)
            sum += measuredIn.Sds[i] > 0 ? state.Sds[i] / measuredIn.Sds[i] : 1;
        return sum / state.Sds.Length;
    }

    private double[] Shifted(double[] point, int sign)
    {
        var shifted = measuredIn.Means.ToArray();
        for (var i = 0; i < shifted.Length; i++)
        {
            for (var direction = 0; direction <= i; direction++)
                shifted[i] += sign * point[direction] * back.LoadingOf(i, direction, measuredIn);
        }
        return shifted;
    }

    // Where the saddle cannot be laid on one of the two backs, the other mirrored in the middle stands for it.
    private void Count(double[] point, double[] middle, double[]? above, double[]? below)
    {
        for (var finding = 0; finding < middle.Length; finding++)
        {
            var (up, down) = ((above?[finding] ?? double.NaN) - middle[finding], (below?[finding] ?? double.NaN) - middle[finding]);
            up = double.IsNaN(up) ? -down : up;
            down = double.IsNaN(down) ? -up : down;
            if (double.IsNaN(up))
                continue;
            shifts[finding] += up + down;
            bends[finding] += (up * up) + (down * down);
            for (var i = 0; i < point.Length; i++)
                slopes[finding][i] += (up - down) * point[i];
        }
    }

    /// <summary>From sums over the points to means, and from directions to coordinates.</summary>
    private void Settle(int finding, int count)
    {
        shifts[finding] /= count;
        var (variance, along) = ((bends[finding] / count) - (shifts[finding] * shifts[finding]), slopes[finding]);
        for (var i = 0; i < along.Length; i++)
        {
            along[i] /= count;
            variance -= along[i] * along[i];
        }
        bends[finding] = Math.Max(0, variance);
        for (var i = along.Length - 1; i >= 0; i--)
        {
            for (var after = i + 1; after < along.Length; after++)
                along[i] -= along[after] * back.LoadingOf(after, i, measuredIn);
            var own = back.LoadingOf(i, i, measuredIn);
            along[i] = own > 0 ? along[i] / own : 0;
        }
    }
}
