using System.CommandLine;
using System.Globalization;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Commands;

/// <summary>`simulate`: horses of known truth live through several ways of working, and their backs are forecast. Opens no store and changes nothing.</summary>
internal static class SimulateCommand
{
    private static readonly Option<int> Horses = new("--horses") { Description = "Simulated horses of each class.", HelpName = "N", DefaultValueFactory = _ => 200 };
    private static readonly Option<double> Years = new("--years") { Description = "Years counted of each life.", HelpName = "N", DefaultValueFactory = _ => 2 };
    private static readonly Option<int> Seed = new("--seed") { Description = "Which herd; equal seeds print equal figures.", HelpName = "N", DefaultValueFactory = _ => 1 };
    private static readonly Option<int> Threads = new("--threads") { Description = "Processors to use; the figures are the same.", HelpName = "N", DefaultValueFactory = _ => 1 };

    public static Command Create()
    {
        Horses.Validators.Add(result => AtLeastOne(result, Horses));
        Threads.Validators.Add(result => AtLeastOne(result, Threads));
        Years.Validators.Add(result =>
        {
            if (!(result.GetValue(Years) is >= .5 and <= 20))
                result.AddError("--years takes 0.5 to 20.");
        });
        var command = new Command("simulate", "Let simulated horses live by the policy, by calendars and by reacting, and forecast their backs. Reads and changes nothing. Prints tables parted by tabs.") { Horses, Years, Seed, Threads };
        command.SetAction(parsed =>
        {
            var simulation = new SimulationRun(parsed.GetValue(Horses), parsed.GetValue(Years), parsed.GetValue(Seed), parsed.GetValue(Threads));
            simulation.Print();
            return 0;
        });
        return command.WithExamples("backtracker simulate", "backtracker simulate --horses 20 --seed 2");
    }

    private static void AtLeastOne(System.CommandLine.Parsing.OptionResult result, Option<int> option)
    {
        if (result.GetValue(option) < 1)
            result.AddError($"{option.Name} takes 1 or more.");
    }
}

/// <summary>One run: tables to standard output, how far it is to standard error.</summary>
internal sealed class SimulationRun(int ofEachClass, double years, int seed, int threads)
{
    private readonly SimulatedWorld world = SimulatedWorld.Usual(years);

    public void Print()
    {
        Console.WriteLine("Simulated horses, no real ones: what they show is no better than what was assumed of them.");
        Row("Seed", Number(seed, 0), "horses of each class", Number(ofEachClass, 0), "years", Number(years, 1), "tolerance mm either way", Number(world.BandMm, 1), "booked ahead, days", Number(world.LeadDays, 0), "tree set to within, mm SD", Number(world.TreeSdMm, 1));
        PrintYards();
        PrintForecasts();
    }

    private void PrintYards()
    {
        SimulatedHorse[] herd = [.. SimulatedHerd.Of(seed, ofEachClass, world.LifeDays)];
        var ways = YardYears.Ways(new CheckPolicy()).Select(way => (way.Name, Lives: Each(herd, way.Name, horse => way.Live(horse, world, TrendModel.Shipped)))).ToList();
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
        var trials = Each(herd, "forecasts", horse => ForecastStudy.Of(horse, TrendModel.Shipped));
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
            Row(of, Number(ahead, 0), Number(row.Forecasts, 0), Told(row.Cover, 3), Told(row.BiasMm, 2), Told(row.ErrorMm, 2), Told(row.MedianErrorMm, 2), Told(row.AgainstMedian, 2));
        }
    }

    private T[] Each<T>(SimulatedHorse[] herd, string what, Func<SimulatedHorse, T> live)
    {
        var began = TimeProvider.System.GetTimestamp();
        T[] made = [.. herd.AsParallel().AsOrdered().WithDegreeOfParallelism(threads).Select(live)];
        Console.Error.WriteLine($"{what}: {Number(herd.Length, 0)} horses in {Number(TimeProvider.System.GetElapsedTime(began).TotalSeconds, 0)} s");
        return made;
    }

    private static string Name(SimulatedClass kind) => Http.Words.Write(kind);

    private static string Told(Estimate estimate, int decimals) => $"{Number(estimate.Value, decimals)} ({Number(estimate.Low, decimals)} to {Number(estimate.High, decimals)})";

    private static string Number(double value, int decimals) => double.IsFinite(value) ? value.ToString($"F{decimals}", CultureInfo.InvariantCulture) : "-";

    private static void Head(params string[] cells)
    {
        Console.WriteLine();
        Row(cells);
    }

    private static void Row(params string[] cells) => Console.WriteLine(string.Join('\t', cells));
}
