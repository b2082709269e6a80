using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Priors;

/// <summary>Learns the prior of one key and judges it on horses it was not learned from.</summary>
internal static class PriorLearning
{
    /// <summary>Least horses; also the weight, in horses, with which the shipped prior stays in the mixture: our choice.</summary>
    public const int LeastHorses = 40;

    private const int LeastForecasts = 40;
    private const int Folds = 5;

    // How much further from 80 % than that of the shipped prior a cover may be: what chance does to some hundreds of forecasts.
    private const double CoverSlack = .02;

    /// <summary>The prior learned, or why none was.</summary>
    /// <param name="key">What it is for.</param>
    /// <param name="series">The series, those of one horse one after the other.</param>
    /// <param name="model">The shipped model.</param>
    public static (LearnedPrior? Learned, RefusedPrior? Refused) Of(PriorKey key, IReadOnlyList<SeriesEvidence> series, TrendModel model)
    {
        var horses = series.Select(one => one.Horse).Distinct().Count();
        if (horses < LeastHorses)
            return (null, new RefusedPrior(key, horses, PriorRefusal.TooFewHorses));
        var (held, shipped) = Judge(key.Context, series, model);
        return Refusal(held, shipped) is { } why
            ? (null, new RefusedPrior(key, horses, why))
            : (new LearnedPrior(key, horses, WeightOf(horses), Fit(series, model), held, shipped), null);
    }

    private static PriorRefusal? Refusal(HeldOutScore held, HeldOutScore shipped) => (held, shipped) switch
    {
        _ when held.Forecasts < LeastForecasts => PriorRefusal.TooFewForecasts,
        _ when Miss(held) > Miss(shipped) + CoverSlack => PriorRefusal.CoverWorse,
        _ when held.LogScore <= shipped.LogScore => PriorRefusal.NoBetter,
        _ => null,
    };

    private static double Miss(HeldOutScore score) => Math.Abs(score.Cover80 - .8);

    private static double WeightOf(int horses) => horses / (double)(horses + LeastHorses);

    private static DynamicsPrior Fit(IReadOnlyList<SeriesEvidence> series, TrendModel model)
    {
        var counts = series.CountBy(one => one.Horse).ToDictionary();
        return PriorFit.Of([.. series.Select(one => new WeighedLikelihood(one.Likelihood, 1.0 / counts[one.Horse]))], model);
    }

    private static (HeldOutScore Held, HeldOutScore Shipped) Judge(PriorContext context, IReadOnlyList<SeriesEvidence> series, TrendModel model)
    {
        var shipped = model.ShippedWeights(context);
        var foldOf = series.Select(one => one.Horse).Distinct().Select((horse, place) => (horse, Fold: place % Folds)).ToDictionary(one => one.horse, one => one.Fold);
        var (learned, plain) = (new Tally(), new Tally());
        for (var fold = 0; fold < Folds; fold++)
        {
            SeriesEvidence[] seen = [.. series.Where(one => foldOf[one.Horse] != fold)];
            var weight = WeightOf(seen.Select(one => one.Horse).Distinct().Count());
            double[] mixture = [.. Fit(seen, model).WeightsOn(model).Zip(shipped, (own, other) => (weight * own) + ((1 - weight) * other))];
            foreach (var forecast in series.Where(one => foldOf[one.Horse] == fold).SelectMany(one => one.Held))
            {
                learned.Add(forecast.Under(mixture));
                plain.Add(forecast.Under(shipped));
            }
        }
        return (learned.Score, plain.Score);
    }

    private sealed class Tally
    {
        private int count, inside;
        private double logs;

        public HeldOutScore Score => new(count, count == 0 ? 0 : inside / (double)count, count == 0 ? 0 : logs / count);

        public void Add((double LogDensity, double Pit) one)
        {
            count++;
            inside += one.Pit is > .1 and < .9 ? 1 : 0;
            logs += one.LogDensity;
        }
    }
}
