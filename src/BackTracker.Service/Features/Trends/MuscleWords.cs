using BackTracker.Engine.Measures;
using BackTracker.Engine.Muscle;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Measurements;

namespace BackTracker.Service.Features.Trends;

/// <summary>What a back does beside weight, in words. It speaks of muscle as the likely reading and no more.</summary>
internal static class MuscleWords
{
    public const string Context =
        "T8 and T18 were seen to change within two months of work, T13 within four (Greve and Dyson 2014, 98 sports horses). A fuller profile is not proof that one named muscle grew.";

    /// <summary>"Left half at T8, 150 mm down".</summary>
    public static string Heading(MuscleChangeAnswer change) => Metric.TryParse(change.Metric, out var metric) ? MetricWords.Heading(metric) : change.Metric;

    public static string Say(MuscleChange change) => change.Rate is { } rate ? Separated(change, rate) : $"{Profile(change.Profile)}; weight not separated. {Why(change.Gap)}";

    private static string Separated(MuscleChange change, RemainderRate rate)
    {
        var (amount, sure) = (MetricWords.Change(change.Metric, Math.Abs(rate.PerFourWeeks)), rate.ProbabilityGaining);
        var beside = rate.Basis == WeightBasis.Weight ? "weight" : "weight and condition";
        return change.Direction switch
        {
            MuscleDirection.Gaining => $"Gaining beside {beside}: fuller by about {amount} in four weeks ({Engine.Words.Percent(sure)}). Muscle is the likely reading. {Share(change, rate, beside)}",
            MuscleDirection.Losing => $"Losing beside {beside}: hollower by about {amount} in four weeks ({Engine.Words.Percent(1 - sure)}). Muscle is the likely reading. {Share(change, rate, beside)}",
            MuscleDirection.Holding => $"Holding beside {beside}: it moves less in twelve weeks than two measurements can tell apart. {Share(change, rate, beside)}",
            _ => $"Unclear beside {beside}: gaining with {Engine.Words.Percent(sure)}. {Share(change, rate, beside)}",
        };
    }

    private static string Share(MuscleChange change, RemainderRate rate, string beside) =>
        $"About {MetricWords.Change(change.Metric, Math.Abs(rate.WithWeightPerFourWeeks))} {(rate.WithWeightPerFourWeeks < 0 ? "less" : "more")} in four weeks goes with {beside}.";

    private static string Profile(TrendDirection profile) => profile switch
    {
        TrendDirection.Rising or TrendDirection.Falling => "The profile is changing",
        TrendDirection.Steady => "The profile holds",
        _ => "No trend yet",
    };

    private static string Why(WeightGap gap) => gap == WeightGap.NotLearned
        ? "How this measure goes with weight is not known from enough horses yet."
        : "Weigh the horse whenever its back is measured: it was weighed too seldom, or not lately.";
}
