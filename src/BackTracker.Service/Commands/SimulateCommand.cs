using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;
using static BackTracker.Service.Commands.SimulationTables;

namespace BackTracker.Service.Commands;

/// <summary>`simulate`: horses of known truth live through several ways of working, and their backs are forecast. Opens no store and changes nothing.</summary>
internal static class SimulateCommand
{
    private static readonly Option<int> Horses = new("--horses") { Description = "Simulated horses of each class.", HelpName = "N", DefaultValueFactory = _ => 200 };
    private static readonly Option<double> Years = new("--years") { Description = "Years counted of each life.", HelpName = "N", DefaultValueFactory = _ => 2 };
    private static readonly Option<int> Seed = new("--seed") { Description = "Which herd; equal seeds print equal figures.", HelpName = "N", DefaultValueFactory = _ => 1 };
    private static readonly Option<double> TreeSd = new("--tree-sd") { Description = "To what a tree can be set and measured, mm standard deviation; the policy takes the same.", HelpName = "MM", DefaultValueFactory = _ => 2 };
    private static readonly Option<int?> LearnFrom = new("--learn-from") { Description = "Learn priors from as many horses of this other herd, and show what they do beside the shipped ones.", HelpName = "SEED" };
    private static readonly Option<int> Threads = new("--threads") { Description = "Processors to use; the figures are the same.", HelpName = "N", DefaultValueFactory = _ => 1 };

    public static Command Create()
    {
        Horses.Validators.Add(result => AtLeastOne(result, Horses));
        Threads.Validators.Add(result => AtLeastOne(result, Threads));
        Years.Validators.Add(result => Within(result, Years, .5, 20));
        TreeSd.Validators.Add(result => Within(result, TreeSd, 0, 10));
        var command = new Command("simulate", "Let simulated horses live by the policy, by calendars and by reacting, and forecast their backs. Reads and changes nothing. Prints tables parted by tabs.") { Horses, Years, Seed, TreeSd, LearnFrom, Threads };
        command.SetAction(parsed =>
        {
            var world = SimulatedWorld.Usual(parsed.GetValue(Years)) with { TreeSdMm = parsed.GetValue(TreeSd) };
            Print(world, parsed.GetValue(Horses), parsed.GetValue(Seed), parsed.GetValue(Threads), parsed.GetValue(LearnFrom));
            return 0;
        });
        return command.WithExamples("backtracker simulate", "backtracker simulate --horses 20 --seed 2", "backtracker simulate --horses 100 --seed 2 --learn-from 1");
    }

    private static void Print(SimulatedWorld world, int horses, int seed, int threads, int? learnFrom)
    {
        Console.WriteLine("Simulated horses, no real ones: what they show is no better than what was assumed of them.");
        Row("Seed", Number(seed, 0), "horses of each class", Number(horses, 0), "days counted", Number(world.CountedDays, 0), "tolerance mm either way", Number(world.BandMm, 1), "booked ahead, days", Number(world.LeadDays, 0), "tree set to within, mm SD", Number(world.TreeSdMm, 1));
        if (learnFrom is { } other)
            new LearningRun(world, horses, seed, threads, HerdLesson.Of(other, horses, TrendModel.Shipped)).Print();
        else
            new SimulationRun(world, horses, seed, threads).Print();
    }

    private static void Within(OptionResult result, Option<double> option, double least, double most)
    {
        if (!(result.GetValue(option) >= least && result.GetValue(option) <= most))
            result.AddError(string.Create(CultureInfo.InvariantCulture, $"{option.Name} takes {least} to {most}."));
    }

    private static void AtLeastOne(OptionResult result, Option<int> option)
    {
        if (result.GetValue(option) < 1)
            result.AddError($"{option.Name} takes 1 or more.");
    }
}
