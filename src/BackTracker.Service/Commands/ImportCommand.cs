using System.CommandLine;
using BackTracker.Service.Features.Imports;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;

namespace BackTracker.Service.Commands;

/// <summary>`import`: takes measurements over from a CSV file.</summary>
internal static class ImportCommand
{
    private static readonly Caller Operator = Caller.Service("command-line");

    public static Command Create()
    {
        var store = new StoreOptions();
        var file = new Argument<string>("FILE") { Description = "CSV in UTF-8 with a header: horse,measuredAt,measuredBy,method and any of exercise,station,depthMm,widthMm,leftHalfMm,rightHalfMm,repeat,weightKg,girthMm,conditionScore1to9,note. Lines of one horse and instant make one measurement." };
        var yard = new Option<string?>("--yard") { Description = "Id of the yard in which horses go by name; without it by id or microchip only.", HelpName = "ID" };
        var dryRun = new Option<bool>("--dry-run") { Description = "Check everything and keep nothing." };
        var command = new Command("import", "Record measurements from a file: all of it or, with the faults by line, nothing. What is there already is left alone.") { file, yard, dryRun };
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            await using var stream = File.OpenRead(parsed.GetRequiredValue(file));
            var database = await store.OpenAsync(parsed, cancel);
            await using var session = await database.WriteAsync(Operator.KeyId, cancel);
            var yardId = parsed.GetValue(yard) is { } id ? (await YardEndpoints.RequireAsync(session, Operator, id)).Id : null;
            var faults = new ImportFaults();
            var rows = MeasurementCsv.Read(stream, faults);
            var result = await new MeasurementImport(session, Operator, faults).RunAsync(rows, new ImportNames(session, Operator.Sight, yardId));
            if (faults.Any)
                return await RefuseAsync(faults);
            if (!parsed.GetValue(dryRun))
                await session.CommitAsync();
            foreach (var line in result.AlreadyThere)
                await Console.Error.WriteLineAsync($"line {line}: already there, left alone");
            Console.WriteLine($"{result.Measurements} measurements of {result.Horses} horses {(parsed.GetValue(dryRun) ? "would be imported" : "imported")}");
            return 0;
        });
        return command.WithExamples(
            "backtracker import old-book.csv --yard 0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69 --dry-run --data ./data",
            "backtracker import old-book.csv --yard 0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69 --data ./data");
    }

    private static async Task<int> RefuseAsync(ImportFaults faults)
    {
        foreach (var fault in faults.Lines)
            await Console.Error.WriteLineAsync(fault);
        await Console.Error.WriteLineAsync("Nothing was imported.");
        return CommandLine.Failed;
    }
}
