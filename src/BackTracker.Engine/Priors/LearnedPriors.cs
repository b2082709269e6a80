using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Muscle;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Priors;

/// <summary>Which series a prior is for.</summary>
/// <param name="Class">Horses of which class.</param>
/// <param name="Quantity">What is measured; stations and depths together.</param>
/// <param name="Context">Whether the series reach over a dated event.</param>
public readonly record struct PriorKey(HorseClass Class, Quantity Quantity, PriorContext Context);

/// <summary>How forecasts of horses that were not learned from did.</summary>
/// <param name="Forecasts">How many.</param>
/// <param name="Cover80">Share of readings inside the band of 80 %.</param>
/// <param name="LogScore">Mean log density of the readings; the higher, the better (Good 1952, J R Stat Soc B 14:107-114).</param>
public readonly record struct HeldOutScore(int Forecasts, double Cover80, double LogScore);

/// <summary>Why a prior was not learned.</summary>
public enum PriorRefusal
{
    /// <summary>Fewer horses than it takes.</summary>
    TooFewHorses,

    /// <summary>Too few forecasts to hold it against.</summary>
    TooFewForecasts,

    /// <summary>On horses it was not learned from, its bands held a share further from 80 % than the shipped prior's.</summary>
    CoverWorse,

    /// <summary>On horses it was not learned from, it told readings no better than the shipped prior.</summary>
    NoBetter,
}

/// <summary>A prior that was learned: mixed with the shipped one, which keeps a tail for horses unlike those seen.</summary>
/// <param name="Key">What it is for.</param>
/// <param name="Horses">Of how many horses.</param>
/// <param name="Weight">Its share in the mixture; the rest is the shipped prior.</param>
/// <param name="Prior">What was learned, for a metric with a within-session SD of 2 units.</param>
/// <param name="HeldOut">How the mixture did on horses it was not learned from.</param>
/// <param name="Shipped">How the shipped prior did on the same.</param>
public sealed record LearnedPrior(PriorKey Key, int Horses, double Weight, DynamicsPrior Prior, HeldOutScore HeldOut, HeldOutScore Shipped)
{
    /// <summary>Log of the mixture at each point of a model's grid.</summary>
    /// <param name="model">The shipped model.</param>
    public double[] LogPrior(TrendModel model) =>
        [.. Prior.WeightsOn(model).Zip(model.ShippedWeights(Key.Context), (learned, shipped) => Math.Log((Weight * learned) + ((1 - Weight) * shipped)))];
}

/// <summary>A prior that was looked for and not taken.</summary>
/// <param name="Key">What it would have been for.</param>
/// <param name="Horses">Of how many horses.</param>
/// <param name="Why">Why not.</param>
public sealed record RefusedPrior(PriorKey Key, int Horses, PriorRefusal Why);

/// <summary>The within-session SD of a quantity, learned from repeats.</summary>
/// <param name="Quantity">The quantity.</param>
/// <param name="Horses">From how many horses.</param>
/// <param name="DegreesOfFreedom">How much is known, in repeats beyond the first.</param>
/// <param name="Sd">The standard deviation, in the quantity's unit.</param>
public readonly record struct LearnedSessionSd(Quantity Quantity, int Horses, double DegreesOfFreedom, double Sd);

/// <summary>Everything learned over horses in one round. It holds pooled numbers alone: no horse, yard or person can be told from it.</summary>
public sealed record LearnedPriors
{
    /// <summary>Nothing was learned: the shipped model holds.</summary>
    public static LearnedPriors None { get; } = new();

    /// <summary>Names the round; empty where nothing was learned.</summary>
    public string Name { get; init; } = "";

    /// <summary>Horses that had something to say.</summary>
    public int Horses { get; init; }

    /// <summary>Priors, at most one for a key.</summary>
    public IReadOnlyList<LearnedPrior> Priors { get; init; } = [];

    /// <summary>Priors that were not taken, and why.</summary>
    public IReadOnlyList<RefusedPrior> Refused { get; init; } = [];

    /// <summary>Within-session SDs, at most one for a quantity; others keep the starting value.</summary>
    public IReadOnlyList<LearnedSessionSd> SessionSds { get; init; } = [];

    /// <summary>How measures of the back go with weight and condition, at most one for a measure and basis.</summary>
    public IReadOnlyList<WeightShare> WeightShares { get; init; } = [];

    /// <summary>Shares that were not taken, and why.</summary>
    public IReadOnlyList<RefusedShare> RefusedShares { get; init; } = [];

    /// <summary>Whether nothing at all was learned.</summary>
    public bool IsEmpty() => Priors.Count == 0 && SessionSds.Count == 0 && WeightShares.Count == 0;

    /// <summary>The prior for a class and quantity, else that of all horses; null where none was learned.</summary>
    internal LearnedPrior? Find(PriorKey key)
    {
        LearnedPrior? ofAll = null;
        foreach (var prior in Priors)
        {
            if (prior.Key == key)
                return prior;
            if (prior.Key == key with { Class = HorseClass.All })
                ofAll = prior;
        }
        return ofAll;
    }

    /// <summary>Within-session SD to go by for a metric, in its unit.</summary>
    internal double SessionSdOf(Metric metric)
    {
        foreach (var learned in SessionSds)
        {
            if (learned.Quantity == metric.Quantity)
                return learned.Sd;
        }
        return metric.StartingSessionSd;
    }

    /// <summary>What of it the trends of a horse go by: with it every number that rests on them can be worked out again. Shares of weight are not among it.</summary>
    /// <param name="facts">What is known of the horse.</param>
    public LearnedPriors For(HorseFacts facts)
    {
        ArgumentNullException.ThrowIfNull(facts);
        if (IsEmpty())
            return this;
        MetricSeries[] series = [.. facts.Sessions.SelectMany(session => session.Readings).Select(reading => reading.Metric).Distinct().Select(metric => SeriesBuilder.Build(facts, metric))];
        var keys = series.SelectMany(one => Enum.GetValues<PriorContext>().Select(context => new PriorKey(one.Class, one.Metric.Quantity, context)));
        return this with
        {
            Priors = [.. keys.Select(Find).OfType<LearnedPrior>().Distinct()],
            SessionSds = [.. SessionSds.Where(learned => series.Any(one => one.Metric.Quantity == learned.Quantity))],
            WeightShares = [],
            Refused = [],
            RefusedShares = [],
        };
    }
}
