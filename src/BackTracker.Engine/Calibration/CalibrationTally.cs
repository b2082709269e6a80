using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Calibration;

/// <summary>How far ahead forecasts looked. Only those of the next session know nothing of each other where the model is right.</summary>
public enum Horizon
{
    /// <summary>The next session, whenever it was.</summary>
    NextSession,

    /// <summary>1 to 28 days.</summary>
    FourWeeks,

    /// <summary>29 to 56 days.</summary>
    EightWeeks,

    /// <summary>57 to 84 days.</summary>
    TwelveWeeks,

    /// <summary>85 to 182 days.</summary>
    HalfYear,
}

/// <summary>How the forecasts of one metric, or of all together, did at a horizon.</summary>
/// <param name="Metric">The metric; null for all together, which share no unit: errors are then NaN.</param>
/// <param name="Horizon">How far ahead.</param>
/// <param name="Forecasts">How many forecasts.</param>
/// <param name="Sessions">How many sessions they were of: metrics of one session go together and count as one when it comes to how sure the numbers are.</param>
/// <param name="Horses">Of how many horses.</param>
/// <param name="Bias">Mean of forecast less measured, in the metric's unit.</param>
/// <param name="RootMeanSquare">Root mean square of the errors.</param>
/// <param name="PitCounts">Forecasts by tenth of the probability they gave to a value at or below the one measured.</param>
/// <param name="Covers">Share of sessions inside the bands of 50, 80 and 95 %.</param>
public sealed record CalibrationRow(
    Metric? Metric, Horizon Horizon, int Forecasts, int Sessions, int Horses, double Bias, ForecastErrors RootMeanSquare, IReadOnlyList<int> PitCounts, BandCovers Covers)
{
    /// <summary>
    /// Pearson's chi-square of the ten counts against evenly spread ones, 9 degrees of freedom: 16.9 is passed by one in twenty of right models, where the
    /// forecasts know nothing of each other.
    /// </summary>
    public double PitChiSquare
    {
        get
        {
            var even = Forecasts / (double)PitCounts.Count;
            return PitCounts.Sum(count => (count - even) * (count - even)) / even;
        }
    }
}

/// <summary>Share of sessions inside bands that were to hold so many.</summary>
/// <param name="In50">Inside the band of 50 %.</param>
/// <param name="In80">Inside the band of 80 %.</param>
/// <param name="In95">Inside the band of 95 %.</param>
public readonly record struct BandCovers(double In50, double In80, double In95);

/// <summary>Sums up scores horse by horse; what it keeps grows with the metrics and not with the horses.</summary>
public sealed class CalibrationTally
{
    private readonly SortedDictionary<(string Metric, Horizon Horizon), Sums> sums = [];

    /// <summary>Horses with at least one forecast that was followed by a session.</summary>
    public int Horses { get; private set; }

    /// <summary>Counts one horse in.</summary>
    /// <param name="scores">All of its scores; read once.</param>
    public void Add(IEnumerable<ForecastScore> scores)
    {
        ArgumentNullException.ThrowIfNull(scores);
        var sessions = new Dictionary<Sums, HashSet<(DateOnly From, DateOnly On)>>();
        foreach (var score in scores)
        {
            foreach (var horizon in HorizonsOf(score))
            {
                Count(score.Metric, horizon, score);
                Count(null, horizon, score);
            }
        }
        foreach (var (sum, seen) in sessions)
            (sum.Sessions, sum.Horses) = (sum.Sessions + seen.Count, sum.Horses + 1);
        Horses += sessions.Count > 0 ? 1 : 0;

        void Count(Metric? metric, Horizon horizon, in ForecastScore score)
        {
            var sum = SumsOf(metric, horizon);
            sum.Count(score);
            if (!sessions.TryGetValue(sum, out var seen))
                sessions.Add(sum, seen = []);
            seen.Add((score.FromOn, score.On));
        }
    }

    /// <summary>All metrics together first, then each by its name; at each the next session first, then near to far. Only what was forecast.</summary>
    public IReadOnlyList<CalibrationRow> Rows => [.. sums.Values.Select(sum => sum.Row())];

    private static IEnumerable<Horizon> HorizonsOf(ForecastScore score)
    {
        if (score.SessionsAhead == 1)
            yield return Horizon.NextSession;
        yield return score.DaysAhead switch { <= 28 => Horizon.FourWeeks, <= 56 => Horizon.EightWeeks, <= 84 => Horizon.TwelveWeeks, _ => Horizon.HalfYear };
    }

    private Sums SumsOf(Metric? metric, Horizon horizon)
    {
        var key = (metric?.ToString() ?? "", horizon);
        if (!sums.TryGetValue(key, out var found))
            sums.Add(key, found = new Sums(metric, horizon));
        return found;
    }

    private sealed class Sums(Metric? metric, Horizon horizon)
    {
        private const int Tenths = 10;
        private readonly int[] pits = new int[Tenths];
        private int forecasts, in50, in80, in95;
        private double error;
        private ForecastErrors squares;

        public int Sessions { get; set; }

        public int Horses { get; set; }

        public void Count(in ForecastScore score)
        {
            forecasts++;
            error += score.Errors.Model;
            squares = squares.Plus(score.Errors.Each(off => off * off));
            pits[Math.Clamp((int)(score.Pit * Tenths), 0, Tenths - 1)]++;
            var off = 2 * Math.Abs(score.Pit - .5);
            (in50, in80, in95) = (in50 + (off <= .5 ? 1 : 0), in80 + (off <= .8 ? 1 : 0), in95 + (off <= .95 ? 1 : 0));
        }

        public CalibrationRow Row()
        {
            double count = forecasts;
            return new CalibrationRow(
                metric, horizon, forecasts, Sessions, Horses, metric is null ? double.NaN : error / count,
                squares.Each(square => metric is null ? double.NaN : Math.Sqrt(square / count)), pits, new BandCovers(in50 / count, in80 / count, in95 / count));
        }
    }
}
