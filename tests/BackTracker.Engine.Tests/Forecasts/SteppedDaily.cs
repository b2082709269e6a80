using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Forecasts;

/// <summary>First passage the plain way: every path stepped day by day by the exact transition, with random numbers.</summary>
internal sealed class SteppedDaily
{
    private readonly Random random = new(7);

    /// <summary>Share of the paths of level with season that have been out by each day from 0.</summary>
    public static double[] OutBy(IReadOnlyList<PathStart> starts, double startDay, Band band, int days, int paths, double errorSd = 0)
    {
        var (self, share) = (new SteppedDaily(), new double[days + 1]);
        foreach (var start in starts)
        {
            var count = (int)Math.Ceiling(start.Weight * paths);
            for (var path = 0; path < count; path++)
            {
                for (var at = self.FirstOut(start, startDay, band, days, errorSd); at <= days; at++)
                    share[at] += start.Weight / count;
            }
        }
        return share;
    }

    private int FirstOut(PathStart start, double startDay, Band band, int days, double errorSd)
    {
        var (state, day) = (start.State, Transition.Over(1, start.TauDays));
        var drawn = Draw(new[,]
        {
            { state.LL, state.LS, state.LC, state.LN }, { state.LS, state.SS, state.SC, state.SN },
            { state.LC, state.SC, state.CC, state.CN }, { state.LN, state.SN, state.CN, state.NN },
        });
        var (level, rate, cos, sin, error) = (state.L + drawn[0], state.S + drawn[1], state.C + drawn[2], state.N + drawn[3], errorSd * Normal());
        var driven = Cholesky.Of(new[,] { { start.DrivingVar * day.LevelVar, start.DrivingVar * day.LevelRateCov }, { start.DrivingVar * day.LevelRateCov, start.DrivingVar * day.RateVar } });
        for (var at = 0; at <= days; at++)
        {
            var season = Season.On(startDay + at);
            if (level + (season.Cos * cos) + (season.Sin * sin) + error is var value && (value < band.Low || value > band.High))
                return at;
            var (one, other) = (Normal(), Normal());
            (level, rate) = (level + (day.LevelFromRate * rate) + (driven[0, 0] * one), (day.RateDecay * rate) + (driven[1, 0] * one) + (driven[1, 1] * other));
        }
        return days + 1;
    }

    private double[] Draw(double[,] covariance)
    {
        var lower = Cholesky.Of(covariance);
        double[] normals = [Normal(), Normal(), Normal(), Normal()];
        return [.. Enumerable.Range(0, 4).Select(i => Enumerable.Range(0, i + 1).Sum(j => lower[i, j] * normals[j]))];
    }

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
