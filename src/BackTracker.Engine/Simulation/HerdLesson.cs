using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Simulation;

/// <summary>What an installation learns from a simulated herd that it measured at no plan for three years.</summary>
public static class HerdLesson
{
    /// <summary>The priors it would go by, by age class, mixed with the shipped ones.</summary>
    /// <param name="seed">Which herd.</param>
    /// <param name="ofEachClass">Horses of every class.</param>
    /// <param name="model">The shipped model.</param>
    public static LearnedPriors Of(int seed, int ofEachClass, TrendModel model)
    {
        var study = new PriorStudy(model);
        foreach (var horse in SimulatedHerd.Of(seed, ofEachClass, ForecastStudy.MeasuredDays + 1))
            study.Add(horse.MeasuredOn(horse.UnplannedDays(ForecastStudy.MeasuredDays)));
        return study.Learn($"herd-{seed}");
    }
}
