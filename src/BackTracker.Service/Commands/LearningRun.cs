using BackTracker.Engine.Checks;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;
using static BackTracker.Service.Commands.SimulationTables;

namespace BackTracker.Service.Commands;

/// <summary>One run with priors that were learned from another herd, beside the shipped ones: the same horses, the same policy, the same luck.</summary>
internal sealed class LearningRun(SimulatedWorld world, int ofEachClass, int seed, int threads, LearnedPriors learned)
{
    private readonly TrendModel model = TrendModel.Shipped.With(learned);

    public void Print()
    {
        PrintLearned();
        PrintYards();
        PrintForecasts();
    }

    private void PrintLearned()
    {
        Head($"learned from {learned.Name}", "horses", "context", "rate SD mm/day", "memory days", "session SD mm", "log density less shipped");
        foreach (var prior in learned.Priors)
        {
            var (rate, tau, session) = (prior.Prior.Rate, prior.Prior.Tau, prior.Prior.Session);
            Row(Http.Words.Write(prior.Key.Class), Number(prior.Horses, 0), Http.Words.Write(prior.Key.Context), Number(rate.Median, 4), Number(tau.Median, 0), Number(session.Median, 2), Number(prior.HeldOut.LogScore - prior.Shipped.LogScore, 4));
        }
        foreach (var refused in learned.Refused)
            Row(Http.Words.Write(refused.Key.Class), Number(refused.Horses, 0), Http.Words.Write(refused.Key.Context), Http.Words.Write(refused.Why));
    }

    private void PrintYards()
    {
        SimulatedHorse[] herd = [.. SimulatedHerd.Of(seed, ofEachClass, world.LifeDays)];
        var way = new PolicyWay("as installed", new CheckPolicy { TreeMeasureSdMm = world.TreeSdMm });
        var shipped = Each(herd, "shipped priors", threads, horse => way.Live(horse, world, TrendModel.Shipped));
        var ours = Each(herd, "learned priors", threads, horse => way.Live(horse, world, model));
        Head("shipped priors", "days out a year", "visits a year", "yard measurements a year", "days by learned over these", "visits by learned over these", "yard measurements by learned");
        foreach (var kind in SimulatedHerd.Classes)
            PrintYards(Name(kind), Of(shipped, kind), Of(ours, kind));
        PrintYards("all", shipped, ours);
    }

    private static LifeTally[] Of(LifeTally[] lives, SimulatedClass kind) => [.. lives.Where(life => life.Class == kind)];

    private static void PrintYards(string of, LifeTally[] shipped, LifeTally[] ours)
    {
        var row = YardYearsRow.Of(of, shipped, ours);
        Row(of, Told(row.DaysOut, 1), Told(row.Visits, 2), Told(row.Measurements, 1), Told(row.OurDaysOut, 2), Told(row.OurVisits, 2), Told(Bootstrap.Mean([.. ours.Select(life => life.MeasurementsAYear)]), 1));
    }

    private void PrintForecasts()
    {
        SimulatedHorse[] herd = [.. SimulatedHerd.Of(seed, ofEachClass, ForecastStudy.LifeDays)];
        var shipped = Each(herd, "forecasts by shipped priors", threads, horse => ForecastStudy.Of(horse, TrendModel.Shipped));
        var ours = Each(herd, "forecasts by learned priors", threads, horse => ForecastStudy.Of(horse, model));
        IReadOnlyList<ForecastTrial>[] paired = [.. ours.Zip(shipped, (own, other) => own.Zip(other, (trial, beside) => trial with { OtherErrorMm = beside.ErrorMm }).ToList())];
        Head("forecasts of", "days ahead", "forecasts", "inside 80 % shipped", "inside 80 % learned", "root mean square mm shipped", "root mean square mm learned", "learned over shipped");
        foreach (var kind in SimulatedHerd.Classes)
            PrintForecasts(Name(kind), shipped, paired, trial => trial.Class == kind);
        PrintForecasts("all", shipped, paired, _ => true);
    }

    private static void PrintForecasts(string of, IReadOnlyList<ForecastTrial>[] shipped, IReadOnlyList<ForecastTrial>[] paired, Func<ForecastTrial, bool> which)
    {
        foreach (var ahead in ForecastStudy.Horizons)
        {
            ForecastRow RowOf(IReadOnlyList<ForecastTrial>[] trials) => ForecastRow.Of(trials.Select(own => own.Where(trial => trial.DaysAhead == ahead && which(trial))));
            var row = RowOf(paired);
            Row(of, Number(ahead, 0), Number(row.Forecasts, 0), Told(RowOf(shipped).Cover, 3), Told(row.Cover, 3), Told(row.OtherErrorMm, 2), Told(row.ErrorMm, 2), Told(row.AgainstOther, 3));
        }
    }
}
