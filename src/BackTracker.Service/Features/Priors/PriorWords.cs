using System.Globalization;
using BackTracker.Engine.Muscle;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Priors;

/// <summary>What was learned over horses, in words.</summary>
internal static class PriorWords
{
    public const string Shipped = "Nothing was learned over horses up to that day: the priors are those shipped with the program, which come from simulated horses.";

    public static string Round(long number, LearnedPriors learned) => number == 0
        ? $"Nothing was learned from {learned.Horses} horses: what is in use stays."
        : $"Round {number}, from {learned.Horses} horses: {Count(learned.Priors.Count, "prior")}, {Count(learned.SessionSds.Count, "repeat error")} and {Count(learned.WeightShares.Count, "share")} of weight learned.";

    /// <summary>A line for each thing that was learned or refused.</summary>
    public static IEnumerable<string> Lines(LearnedPriors learned) =>
    [
        .. learned.Priors.Select(prior => string.Create(CultureInfo.InvariantCulture,
            $"learned {Name(prior.Key)}: {prior.Horses} horses, weight {prior.Weight:0.00}; 80 % bands held {prior.HeldOut.Cover80:0.00} of readings held back, those of the shipped prior {prior.Shipped.Cover80:0.00}")),
        .. learned.Refused.Select(refused => $"refused {Name(refused.Key)}: {refused.Horses} horses; {Why(refused.Why)}"),
        .. learned.SessionSds.Select(sd => string.Create(CultureInfo.InvariantCulture, $"learned repeat error of {Words.Write(sd.Quantity)}: {sd.Sd:0.###} from {sd.Horses} horses")),
        .. learned.WeightShares.Select(share => string.Create(CultureInfo.InvariantCulture, $"learned share of weight in {share.Metric} by {Words.Write(share.Basis)}: {share.PerKg:0.###} a kg, {share.PerPoint:0.##} a point of condition, from {share.Horses} horses")),
        .. learned.RefusedShares.Select(refused => $"refused share of weight in {refused.Metric} by {Words.Write(refused.Basis)}: {refused.Horses} horses; {Why(refused.Why)}"),
    ];

    public static string Why(PriorRefusal why) => why switch
    {
        PriorRefusal.TooFewHorses => $"it takes {PriorStudy.LeastHorses}",
        PriorRefusal.TooFewForecasts => "too few forecasts to hold it against",
        PriorRefusal.CoverWorse => "its bands held a share further from 80 % than those of the shipped prior",
        _ => "it told readings held back no better than the shipped prior",
    };

    public static string Why(ShareRefusal why) => why switch
    {
        ShareRefusal.TooFewHorses => $"it takes {PriorStudy.LeastHorses} that were measured and weighed in the same sessions",
        _ => "weight or condition moved too little beside the error of reading them",
    };

    private static string Name(PriorKey key) => $"{Words.Write(key.Quantity)}, {Horses(key.Class)}, {(key.Context == PriorContext.EventsRecorded ? "with dated events" : "without dated events")}";

    private static string Horses(HorseClass kind) => kind switch { HorseClass.Growing => "growing horses", HorseClass.Grown => "grown horses", _ => "all horses" };

    private static string Count(int count, string what) => $"{count} {what}{(count == 1 ? "" : "s")}";
}
