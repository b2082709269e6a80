using System.CommandLine;
using BackTracker.Service.Features.Imports;
using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Commands;

/// <summary>`import`: takes records over from a file.</summary>
internal static class ImportCommand
{
    private static readonly Caller Operator = Caller.Service("command-line");

    public static Command Create()
    {
        var store = new StoreOptions();
        var file = new Argument<string>("FILE") { Description = "What `export` wrote, by its name FILE.ndjson; else CSV in UTF-8 with a header: horse,measuredAt,measuredBy,method and any of exercise,station,depthMm,widthMm,leftHalfMm,rightHalfMm,repeat,weightKg,girthMm,conditionScore1to9,note. Lines of one horse and instant make one measurement." };
        var yard = new Option<string?>("--yard") { Description = "Id of the yard in which horses go by name; without it by id or microchip only.", HelpName = "ID" };
        var dryRun = new Option<bool>("--dry-run") { Description = "Check everything and keep nothing." };
        var command = new Command("import", "Record a file: all of it or, with the faults by line, nothing. What is there already is left alone.") { file, yard, dryRun };
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            await using var stream = File.OpenRead(parsed.GetRequiredValue(file));
            var database = await store.OpenAsync(parsed, cancel);
            var source = new ImportSource(stream, store.DataFolder(parsed), parsed.GetValue(yard));
            return await RunAsync(database, source, FormatOf(parsed.GetRequiredValue(file)), parsed.GetValue(dryRun) ? ImportState.Checked : ImportState.Done, cancel);
        });
        return command.WithExamples(
            "backtracker import old-book.csv --yard 0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69 --dry-run --data ./data",
            "backtracker import yard.ndjson --data ./data");
    }

    private static ImportFormat FormatOf(string file) =>
        Path.GetExtension(file).Equals(".ndjson", StringComparison.OrdinalIgnoreCase) ? ImportFormat.Ndjson : ImportFormat.Csv;

    private static async Task<int> RunAsync(Database database, ImportSource source, ImportFormat format, ImportState wanted, CancellationToken cancel)
    {
        var run = new ImportDesk(TimeProvider.System).Begin(Operator.KeyId, format);
        run.Bytes = source.File.Length;
        ImportState came;
        await using (new Meter(() => $"{Meter.Bar(run.BytesRead, run.Bytes)} {run.LinesRead} lines, {run.Faults.Count} faults"))
            came = await new ImportRecorder(new Importer(database, TimeProvider.System), database).RecordAsync(run, Operator, source, wanted, cancel);
        return await TellAsync(run.Answer(came));
    }

    private static async Task<int> TellAsync(ImportAnswer answer)
    {
        foreach (var fault in answer.Faults)
            await Console.Error.WriteLineAsync(fault.ToString());
        if (answer.FaultCount > answer.Faults.Count)
            await Console.Error.WriteLineAsync($"and {answer.FaultCount - answer.Faults.Count} more");
        if (answer.State == ImportState.Refused)
        {
            await Console.Error.WriteLineAsync("Nothing was imported.");
            return CommandLine.Failed;
        }
        foreach (var line in answer.AlreadyThereLines)
            await Console.Error.WriteLineAsync($"line {line}: already there, left alone");
        if (answer.AlreadyThere > answer.AlreadyThereLines.Count)
            await Console.Error.WriteLineAsync($"and {answer.AlreadyThere - answer.AlreadyThereLines.Count} more");
        Console.WriteLine(Sentence(answer));
        return 0;
    }

    private static string Sentence(ImportAnswer answer)
    {
        var done = answer.State == ImportState.Checked ? "would be imported" : "imported";
        return answer.Format == ImportFormat.Csv
            ? $"{answer.Records["measurement"]} measurements of {answer.Horses} horses {done}"
            : $"{answer.Records.Values.Sum()} records {done}{string.Concat(answer.Records.Where(r => r.Value > 0).Select(r => $"\n{r.Key}\t{r.Value}"))}";
    }
}
