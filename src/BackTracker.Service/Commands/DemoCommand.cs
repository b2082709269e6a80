using System.CommandLine;
using BackTracker.Service.Demo;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Commands;

/// <summary>`demo`: fills an empty store with an invented yard and its eighteen months.</summary>
internal static class DemoCommand
{
    public static Command Create()
    {
        var store = new StoreOptions();
        var command = new Command("demo", "Fill an empty store with the demo: an invented yard with eighteen months of history up to today. A store that holds the demo already is left as it is.");
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            var options = new ServeOptions { DataFolder = store.DataFolder(parsed), Database = store.Connection(parsed), Settings = Settings.Read(store.DataFolder(parsed)) };
            await Console.Error.WriteLineAsync("Living through the demo's eighteen months, where they are not there yet...");
            using var only = DataFolderLock.Take(options.DataFolder);
            await FillAsync(options, cancel);
            return 0;
        });
        return command.WithExamples("backtracker demo --data ./demo");
    }

    /// <summary>Fills; whoever calls holds the data folder.</summary>
    public static Task FillAsync(ServeOptions options, CancellationToken cancel) =>
        DemoYard.FillAsync(options, YardTime.Day("Europe/London", TimeProvider.System.GetUtcNow()), cancel);
}
