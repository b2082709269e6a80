using BackTracker.Engine.Measures;
using BackTracker.Engine.Muscle;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;
using BackTracker.Storage;
using BackTracker.Storage.Priors;

namespace BackTracker.Service.Features.Priors;

/// <summary>A prior that was learned over horses, for a metric whose repeats lie 2 units apart (SD); for another metric rates and errors are stretched in proportion.</summary>
/// <param name="HorseClass">Horses of which class; `all` where no class has one of its own.</param>
/// <param name="Quantity">What is measured, stations and depths together.</param>
/// <param name="Context">Whether a dated event lies among the sessions.</param>
/// <param name="Horses">From how many horses.</param>
/// <param name="Weight">Its share in the mixture; the rest is the shipped prior.</param>
/// <param name="RateSdPerDay">Median and spread of the standard deviation of the rate, unit a day.</param>
/// <param name="TauDays">Median and spread of the memory of the rate, days.</param>
/// <param name="SessionSd">Median and spread of the error from session to session, unit.</param>
/// <param name="HeldOut">How the mixture did on horses it was not learned from.</param>
/// <param name="Shipped">How the shipped prior did on the same.</param>
public sealed record PriorAnswer(
    HorseClass HorseClass, Quantity Quantity, PriorContext Context, int Horses, double Weight, LogNormal RateSdPerDay, LogNormal TauDays, LogNormal SessionSd,
    HeldOutScore HeldOut, HeldOutScore Shipped)
{
    public static PriorAnswer Of(LearnedPrior prior) => new(
        prior.Key.Class, prior.Key.Quantity, prior.Key.Context, prior.Horses, prior.Weight, prior.Prior.Rate, prior.Prior.Tau, prior.Prior.Session, prior.HeldOut, prior.Shipped);
}

/// <summary>A prior that was looked for and not taken.</summary>
/// <param name="HorseClass">Horses of which class.</param>
/// <param name="Quantity">What is measured.</param>
/// <param name="Context">Whether a dated event lies among the sessions.</param>
/// <param name="Horses">From how many horses.</param>
/// <param name="Why">Why not.</param>
/// <param name="Text">In words.</param>
public sealed record RefusedPriorAnswer(HorseClass HorseClass, Quantity Quantity, PriorContext Context, int Horses, PriorRefusal Why, string Text)
{
    public static RefusedPriorAnswer Of(RefusedPrior refused) =>
        new(refused.Key.Class, refused.Key.Quantity, refused.Key.Context, refused.Horses, refused.Why, Engine.Words.Sentence(PriorWords.Why(refused.Why)) + ".");
}

/// <summary>How far a measure of the back goes with weight and condition.</summary>
/// <param name="Metric">The measure.</param>
/// <param name="Basis">By what.</param>
/// <param name="Horses">From how many horses.</param>
/// <param name="PerKg">Change for one kg, in the measure's unit.</param>
/// <param name="PerKgSd">Its standard deviation, from horse to horse counted in.</param>
/// <param name="PerPoint">Change for one point of condition; absent where it goes by weight alone.</param>
/// <param name="PerPointSd">Its standard deviation.</param>
public sealed record WeightShareAnswer(string Metric, WeightBasis Basis, int Horses, double PerKg, double PerKgSd, double? PerPoint, double? PerPointSd)
{
    public static WeightShareAnswer Of(WeightShare share) => share.Basis == WeightBasis.Weight
        ? new(share.Metric.ToString(), share.Basis, share.Horses, share.PerKg, Math.Sqrt(share.PerKgVar), null, null)
        : new(share.Metric.ToString(), share.Basis, share.Horses, share.PerKg, Math.Sqrt(share.PerKgVar), share.PerPoint, Math.Sqrt(share.PerPointVar));
}

/// <summary>A share of weight that was looked for and not taken.</summary>
/// <param name="Metric">The measure.</param>
/// <param name="Basis">By what.</param>
/// <param name="Horses">From how many horses.</param>
/// <param name="Why">Why not.</param>
/// <param name="Text">In words.</param>
public sealed record RefusedShareAnswer(string Metric, WeightBasis Basis, int Horses, ShareRefusal Why, string Text)
{
    public static RefusedShareAnswer Of(RefusedShare refused) =>
        new(refused.Metric.ToString(), refused.Basis, refused.Horses, refused.Why, Engine.Words.Sentence(PriorWords.Why(refused.Why)) + ".");
}

/// <summary>What was learned over horses in one round. It never changes.</summary>
/// <param name="Id">Id.</param>
/// <param name="Number">Which round, from 1.</param>
/// <param name="ModelVersion">Version of the trend model with it, as assessments name it.</param>
/// <param name="LearnedOn">Day of the round, UTC.</param>
/// <param name="EngineVersion">Version of the rules that learned it.</param>
/// <param name="Horses">Horses that had something to say, over all yards of the service.</param>
/// <param name="Text">In words.</param>
/// <param name="Items">Priors that were learned.</param>
/// <param name="Refused">Priors that were not taken, and why.</param>
/// <param name="SessionSds">How far repeats lie apart, in the unit of each quantity.</param>
/// <param name="WeightShares">What of a profile goes with weight and condition.</param>
/// <param name="RefusedShares">Shares that were not taken, and why.</param>
/// <param name="CreatedAt">When it was stored.</param>
public sealed record PriorRoundAnswer(
    string Id, long Number, string ModelVersion, DateOnly LearnedOn, string EngineVersion, int Horses, string Text, IReadOnlyList<PriorAnswer> Items,
    IReadOnlyList<RefusedPriorAnswer> Refused, IReadOnlyList<LearnedSessionSd> SessionSds, IReadOnlyList<WeightShareAnswer> WeightShares,
    IReadOnlyList<RefusedShareAnswer> RefusedShares, string CreatedAt)
{
    public static PriorRoundAnswer Of(PriorRow row)
    {
        var learned = PriorsInUse.Read(row);
        return new(
            row.Id, row.Number, TrendModel.Shipped.With(learned).Version, Instants.ReadDay(row.LearnedOn), row.EngineVersion, learned.Horses, PriorWords.Round(row.Number, learned),
            [.. learned.Priors.Select(PriorAnswer.Of)], [.. learned.Refused.Select(RefusedPriorAnswer.Of)], learned.SessionSds,
            [.. learned.WeightShares.Select(WeightShareAnswer.Of)], [.. learned.RefusedShares.Select(RefusedShareAnswer.Of)], row.CreatedAt);
    }
}

/// <summary>The priors that trends go by.</summary>
/// <param name="AsOf">The day known.</param>
/// <param name="ModelVersion">Version of the trend model and its priors, as assessments of that day name it.</param>
/// <param name="ShippedVersion">Version of what comes with the program.</param>
/// <param name="Text">In words.</param>
/// <param name="Round">The round in use; null while everything is as shipped.</param>
public sealed record PriorsAnswer(DateOnly AsOf, string ModelVersion, string ShippedVersion, string Text, PriorRoundAnswer? Round);
