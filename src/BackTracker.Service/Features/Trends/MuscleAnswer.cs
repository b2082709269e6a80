using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Muscle;
using BackTracker.Service.Features.Assessments;

namespace BackTracker.Service.Features.Trends;

/// <summary>What a station does beside weight and condition.</summary>
/// <param name="Metric">The measure it is told from, for example T8.width150 or T8.fillLeft.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Station">The station.</param>
/// <param name="Side">Left or right; null where only both together are known.</param>
/// <param name="Profile">Which way the profile itself goes, weight and all.</param>
/// <param name="Change">Which way it goes once weight and condition are taken out.</param>
/// <param name="Why">Why weight could not be taken out, where it could not.</param>
/// <param name="Probability">Probability that it goes the way named; for holding and unclear, that it is gaining. Null where weight was not taken out, as are the numbers below.</param>
/// <param name="PerFourWeeks">Expected change in four weeks, without weight and condition.</param>
/// <param name="PerFourWeeksSe">Its standard error.</param>
/// <param name="WithWeightPerFourWeeks">Change in four weeks that goes with weight and condition.</param>
/// <param name="Basis">By what weight was taken out.</param>
/// <param name="Text">In words.</param>
public sealed record MuscleChangeAnswer(
    string Metric, string Unit, string Station, Side? Side, Direction Profile, MuscleDirection Change, WeightGap Why, double? Probability, double? PerFourWeeks,
    double? PerFourWeeksSe, double? WithWeightPerFourWeeks, WeightBasis? Basis, string Text)
{
    public static MuscleChangeAnswer Of(MuscleChange change) => new(
        change.Metric.ToString(), change.Metric.Unit, change.Metric.Station!.Value.ToString(), change.Side, TrendDocument.DirectionOf(change.Profile), change.Direction, change.Gap,
        change.Direction == MuscleDirection.Losing ? 1 - change.Rate?.ProbabilityGaining : change.Rate?.ProbabilityGaining,
        change.Rate?.PerFourWeeks, change.Rate?.PerFourWeeksSe, change.Rate?.WithWeightPerFourWeeks, change.Rate?.Basis, MuscleWords.Say(change));
}

/// <summary>Muscle told from weight, as far as it can be.</summary>
/// <param name="Context">What is known from outside.</param>
/// <param name="Items">By station and side, front to rear.</param>
public sealed record MuscleAnswer(string Context, IReadOnlyList<MuscleChangeAnswer> Items)
{
    /// <param name="trends">Trends of what was known of the horse.</param>
    /// <param name="asked">Only this measure; null for all.</param>
    public static MuscleAnswer Of(HorseTrends trends, Metric? asked) =>
        new(MuscleWords.Context, [.. MuscleChanges.Of(trends, metric => asked is null || metric == asked).Select(MuscleChangeAnswer.Of)]);
}
