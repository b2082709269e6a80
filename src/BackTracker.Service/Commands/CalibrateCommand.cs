using System.CommandLine;
using System.Globalization;
using BackTracker.Service.Features.Calibration;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;

namespace BackTracker.Service.Commands;

/// <summary>`calibrate`: how past forecasts did, in words for a yard manager and in numbers for a statistician.</summary>
internal static class CalibrateCommand
{
    private const string Columns = "metric\thorizon\tforecasts\tsessions\thorses\tin50\tin80\tin95\tbias\trmse\trmseLastValue\trmseMedianOfThree\trmseStraightLine\tpitChiSquare\tpitCounts";

    public static Command Create()
    {
        var store = new StoreOptions();
        var yard = new Option<string?>("--yard") { Description = "Id of the one yard; every horse of every yard without it.", HelpName = "ID" };
        var command = new Command("calibrate", "Make every past forecast again and hold it against what was then measured. Changes nothing. Prints words, then a table parted by tabs.") { yard };
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            var database = await store.OpenAsync(parsed, cancel);
            await using var session = await database.ReadAsync(cancel);
            var id = parsed.GetValue(yard);
            var zone = id is null ? "UTC" : (await YardEndpoints.RequireAsync(session, Caller.Service("command-line"), id)).TimeZone;
            var today = YardTime.Day(zone, TimeProvider.System.GetUtcNow());
            var tally = await CalibrationRun.OfAsync(session, id, today, Settings.Read(store.DataFolder(parsed)).Policy, cancel);
            Print(CalibrationAnswer.Of(tally, today, await PriorsInUse.ModelAsync(session, DateOnly.MaxValue)));
            return 0;
        });
        return command.WithExamples("backtracker calibrate --data ./data", "backtracker calibrate --data ./data --yard 0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69");
    }

    private static void Print(CalibrationAnswer answer)
    {
        Console.WriteLine(answer.Text);
        foreach (var row in answer.Items.Where(row => row is { Metric: not null, Horizon: Engine.Calibration.Horizon.NextSession }))
            Console.WriteLine($"{row.Metric}: {row.Text}");
        Console.WriteLine();
        Console.WriteLine(Columns);
        foreach (var row in answer.Items)
            Console.WriteLine(string.Join('\t', Cells(row)));
    }

    private static IEnumerable<string> Cells(CalibrationRowAnswer row)
    {
        var errors = row.RootMeanSquare;
        return [
            row.Metric ?? "all", Words.Write(row.Horizon), Number(row.Forecasts), Number(row.Sessions), Number(row.Horses),
            Number(row.Covers.In50), Number(row.Covers.In80), Number(row.Covers.In95), Number(row.Bias),
            Number(errors?.Model), Number(errors?.LastValue), Number(errors?.MedianOfThree), Number(errors?.StraightLine),
            Number(row.PitChiSquare), string.Join(',', row.PitCounts)];
    }

    private static string Number(double? value) => value?.ToString("0.####", CultureInfo.InvariantCulture) ?? "-";
}
