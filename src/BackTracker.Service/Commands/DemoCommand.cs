using System.CommandLine;
using BackTracker.Service.Demo;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Commands;

/// <summary>`demo`: fills an empty store with an invented yard.</summary>
internal static class DemoCommand
{
    public static Command Create()
    {
        var store = new StoreOptions();
        var command = new Command("demo", "Fill an empty store with an invented yard and its history up to today. Does nothing where it is there already.");
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            using var only = DataFolderLock.Take(store.DataFolder(parsed));
            await FillAsync(new ServeOptions { DataFolder = store.DataFolder(parsed), Database = store.Connection(parsed) }, cancel);
            return 0;
        });
        return command.WithExamples("backtracker demo --data ./demo");
    }

    /// <summary>Fills; whoever calls holds the data folder.</summary>
    public static Task FillAsync(ServeOptions options, CancellationToken cancel) =>
        DemoYard.FillAsync(options, DateOnly.FromDateTime(TimeProvider.System.GetUtcNow().UtcDateTime), cancel);
}
