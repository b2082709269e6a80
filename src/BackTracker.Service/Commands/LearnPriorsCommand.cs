using System.CommandLine;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Commands;

/// <summary>`learn-priors`: learns over the horses of all yards what the service otherwise learns by itself once a year.</summary>
internal static class LearnPriorsCommand
{
    private const string Actor = "command-line";

    public static Command Create()
    {
        var store = new StoreOptions();
        var command = new Command("learn-priors", "Learn over the horses of all yards how fast backs move, how far repeats lie apart and what of a profile goes with weight. Once a year at most; what is no better than what is shipped is not taken.");
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            var database = await store.OpenAsync(parsed, cancel);
            var outcome = await new PriorLearner(database, TimeProvider.System, Settings.Read(store.DataFolder(parsed)).Policy).LearnAsync(Actor, cancel);
            if (outcome.NotBefore is { } day)
                throw new CommandException($"The last round is not a year old. Learn again from {Engine.Words.Day(day)} on.");
            Print(outcome);
            return 0;
        });
        return command.WithExamples("backtracker learn-priors --data ./data");
    }

    private static void Print(PriorOutcome outcome)
    {
        Console.WriteLine(PriorWords.Round(outcome.Number, outcome.Learned));
        foreach (var line in PriorWords.Lines(outcome.Learned))
            Console.WriteLine(line);
    }
}
