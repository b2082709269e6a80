using System.CommandLine;
using BackTracker.Service.Features.Exports;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Commands;

/// <summary>`export`: writes everything of a yard, also while the service runs.</summary>
internal static class ExportCommand
{
    public static Command Create()
    {
        var store = new StoreOptions();
        var yard = new Option<string>("--yard") { Description = "Id of the yard.", HelpName = "ID", Required = true };
        var file = new Argument<string?>("FILE") { Description = "The file to write; must not exist. Without it the records go to standard output.", Arity = ArgumentArity.ZeroOrOne };
        var command = new Command("export", "Write everything of a yard as it is at one moment, a record a line, for `import` here or elsewhere.") { yard, file };
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            var database = new Database(store.ExistingDialect(parsed), TimeProvider.System);
            await database.PrepareAsync(cancel);
            string yardId;
            await using (var session = await database.ReadAsync(cancel))
                yardId = (await YardEndpoints.RequireAsync(session, Caller.Service("command-line"), parsed.GetRequiredValue(yard))).Id;
            if (parsed.GetValue(file) is { } path)
                await WriteFileAsync(database, yardId, path, cancel);
            else
                await WriteAsync(database, yardId, Console.OpenStandardOutput(), cancel);
            return 0;
        });
        return command.WithExamples("backtracker export --yard 0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69 yard.ndjson --data ./data");
    }

    // Whole or not there: half an export could be taken for a small yard.
    private static async Task WriteFileAsync(Database database, string yardId, string path, CancellationToken cancel)
    {
        if (File.Exists(path))
            throw new CommandException($"{path} exists already and is not overwritten. Name another file.");
        var unfinished = path + ".unfinished";
        try
        {
            await using (var file = File.Create(unfinished))
                await WriteAsync(database, yardId, file, cancel);
            File.Move(unfinished, path);
        }
        finally
        {
            File.Delete(unfinished);
        }
    }

    private static async Task WriteAsync(Database database, string yardId, Stream to, CancellationToken cancel)
    {
        await using var buffered = new BufferedStream(to, 1 << 16);
        using var export = new YardExport(buffered);
        await using (new Meter(() => $"{export.Records} records"))
            await export.WriteAsync(database, yardId, cancel);
    }
}
