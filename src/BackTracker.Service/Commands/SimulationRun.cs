using BackTracker.Engine.Checks;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;
using static BackTracker.Service.Commands.SimulationTables;

namespace BackTracker.Service.Commands;

/// <summary>One run: tables to standard output, how far it is to standard error.</summary>
internal sealed class SimulationRun(SimulatedWorld world, int ofEachClass, int seed, int threads)
{
    public void Print()
    {
        PrintYards();
        PrintForecasts();
        PrintMadeToMeasure();
    }

    private void PrintMadeToMeasure()
    {
        SimulatedHorse[] herd = [.. SimulatedHerd.Of(seed, ofEachClass, MadeToMeasureStudy.LifeDays)];
        var policy = new CheckPolicy { TreeMeasureSdMm = world.TreeSdMm };
        var made = Each(herd, "made to measure", threads, horse => MadeToMeasureStudy.Of(horse, world, policy, TrendModel.Shipped));
        Head("saddles made to measure for", "in tolerance on delivery, as measured", "as expected", "days in tolerance from delivery, as measured", "as expected", "days as expected over as measured");
        foreach (var kind in SimulatedHerd.Classes)
            PrintMade(Name(kind), [.. made.Where(saddle => saddle.Class == kind)]);
        PrintMade("all", made);
    }

    private static void PrintMade(string of, IReadOnlyList<MadeTwice> made)
    {
        double[] Days(Func<MadeTwice, MadeSaddle> way) => [.. made.Select(twice => (double)way(twice).DaysInTolerance)];
        Estimate Fits(Func<MadeTwice, MadeSaddle> way) => Bootstrap.Mean([.. made.Select(twice => way(twice).FitsOnDelivery ? 1.0 : 0)]);
        Row(of, Told(Fits(twice => twice.AsMeasured), 2), Told(Fits(twice => twice.AsExpected), 2),
            Told(Bootstrap.Mean(Days(twice => twice.AsMeasured)), 0), Told(Bootstrap.Mean(Days(twice => twice.AsExpected)), 0), Told(Bootstrap.Ratio(Days(twice => twice.AsExpected), Days(twice => twice.AsMeasured)), 2));
    }

    private void PrintYards()
    {
        SimulatedHorse[] herd = [.. SimulatedHerd.Of(seed, ofEachClass, world.LifeDays)];
        var ways = YardYears.Ways(new CheckPolicy { TreeMeasureSdMm = world.TreeSdMm }).Select(way => (way.Name, Lives: Each(herd, way.Name, threads, horse => way.Live(horse, world, TrendModel.Shipped)))).ToList();
        YardYearsRow[] rows = [.. ways.Select(way => YardYearsRow.Of(way.Name, way.Lives, ways[0].Lives))];
        Head("way of working", "days out a year", "visits a year", "yard measurements a year", "days as installed over these", "visits as installed over these");
        foreach (var row in rows)
            Row(row.Way, Told(row.DaysOut, 1), Told(row.Visits, 2), Told(row.Measurements, 1), Told(row.OurDaysOut, 2), Told(row.OurVisits, 2));
        Head(["days out a year by class", .. SimulatedHerd.Classes.Select(Name)]);
        foreach (var (way, lives) in ways)
            Row([way, .. SimulatedHerd.Classes.Select(kind => Told(Bootstrap.Mean([.. lives.Where(life => life.Class == kind).Select(life => life.DaysOutAYear)]), 1))]);
        Head("aim against", "most of the days", "most of the visits", "days as installed", "visits as installed", "");
        foreach (var aim in YardYears.Aims)
            PrintAim(aim, rows.Single(row => row.Way == aim.Way));
    }

    private static void PrintAim(YardAim aim, YardYearsRow row) => Row(
        aim.Way, Number(aim.MostDaysOut, 2), Number(aim.MostVisits, 2),
        Told(row.OurDaysOut, 2), Told(row.OurVisits, 2), aim.IsMetBy(row) ? "met" : "missed");

    private void PrintForecasts()
    {
        SimulatedHorse[] herd = [.. SimulatedHerd.Of(seed, ofEachClass, ForecastStudy.LifeDays)];
        var trials = Each(herd, "forecasts", threads, horse => ForecastStudy.Of(horse, TrendModel.Shipped));
        Head("forecasts of", "days ahead", "forecasts", "inside 80 %", "bias mm", "root mean square mm", "median of last three mm", "forecast over median");
        foreach (var kind in SimulatedHerd.Classes)
            PrintForecasts(Name(kind), trials, trial => trial.Class == kind);
        PrintForecasts("within 120 days after a known event", trials, trial => trial.Nearby == EventNearby.Known);
        PrintForecasts("within 120 days after an event nobody wrote down", trials, trial => trial.Nearby == EventNearby.Unknown);
        PrintForecasts("all", trials, _ => true);
    }

    private static void PrintForecasts(string of, IReadOnlyList<ForecastTrial>[] trials, Func<ForecastTrial, bool> which)
    {
        foreach (var ahead in ForecastStudy.Horizons)
        {
            if (!trials.Any(own => own.Any(which)))
                continue;
            var row = ForecastRow.Of(trials.Select(own => own.Where(trial => trial.DaysAhead == ahead && which(trial))));
            Row(of, Number(ahead, 0), Number(row.Forecasts, 0), Told(row.Cover, 3), Told(row.BiasMm, 2), Told(row.ErrorMm, 2), Told(row.OtherErrorMm, 2), Told(row.AgainstOther, 2));
        }
    }
}
