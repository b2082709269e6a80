using System.CommandLine;
using System.Globalization;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Simulation;
using BackTracker.Engine.Trends;

namespace BackTracker.Service.Commands;

/// <summary>`simulate`: horses of known truth live through ways of working, and their backs are forecast.</summary>
internal static class SimulateCommand
{
    public static Command Create()
    {
        var horses = new Option<int>("--horses") { Description = "Simulated horses of each class.", HelpName = "N", DefaultValueFactory = _ => 200 };
        var seed = new Option<int>("--seed") { Description = "Which herd.", HelpName = "N", DefaultValueFactory = _ => 1 };
        var command = new Command("simulate", "x") { horses, seed };
        command.SetAction(parsed =>
        {
            var world = SimulatedWorld.Usual(2) with { TreeSdMm = double.Parse(Environment.GetEnvironmentVariable("TREE") ?? "2", CultureInfo.InvariantCulture) };
            var usual = new CheckPolicy() { TreeMeasureSdMm = world.TreeSdMm };
            SimulatedHorse[] herd = [.. SimulatedHerd.Of(parsed.GetValue(seed), parsed.GetValue(horses), world.LifeDays)];
            WayOfWorking[] ways = [new CalendarWay(26), new CalendarWay(8), new ReactiveWay(4), new PolicyWay("policy", usual), new PolicyWay("policy 52 weeks floor", usual with { WatchedFitWeeks = 52, SteadyFitWeeks = 52 }), new PolicyWay("policy 10", usual with { RiskLimit = .10 }), new PolicyWay("policy 30", usual with { RiskLimit = .30 })];
            foreach (var way in ways)
            {
                var began = TimeProvider.System.GetTimestamp();
                var tallies = herd.Select(horse => way.Live(horse, world, TrendModel.Shipped)).ToArray();
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{way.Name}: {tallies.Average(t => t.DaysOutAYear):0.0} {tallies.Average(t => t.VisitsAYear):0.00} {tallies.Average(t => t.MeasurementsAYear):0.0}  {TimeProvider.System.GetElapsedTime(began).TotalSeconds:0.0} s"));
                Console.WriteLine(string.Join(' ', tallies.GroupBy(t => t.Class).Select(g => string.Create(CultureInfo.InvariantCulture, $"  {g.Key} {g.Average(t => t.DaysOutAYear):0.0}/{g.Average(t => t.VisitsAYear):0.00}"))));
            }
            return 0;
        });
        return command;
    }
}
