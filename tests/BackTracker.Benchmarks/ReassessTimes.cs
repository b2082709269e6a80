using System.Diagnostics;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Assessments;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using Microsoft.Extensions.Logging.Abstractions;

namespace BackTracker.Benchmarks;

/// <summary>
/// How long the whole herd of an installation takes: every horse measured at three stations in 24 sessions of two repeats, a saddle on it known by
/// its widths, on a real SQLite file; facts loaded, assessed and saved by the assessor of the service, on all processors.
/// </summary>
internal static class ReassessTimes
{
    private const int HorsesOfAYard = 100;

    public static async Task ReportAsync(int horses)
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-herd-").FullName;
        await using var dialect = new SqliteDialect(Path.Combine(folder, "backtracker.db"));
        var database = new Database(dialect, TimeProvider.System);
        await database.PrepareAsync(CancellationToken.None);
        var yards = await Herd.RegisterAsync(database, horses, HorsesOfAYard);
        foreach (var (yardId, count) in yards)
            await Herd.MeasureAsync(database, folder, yardId, count);
        var assessor = new Assessor(database, TimeProvider.System, new CheckPolicy(), new AlertPolicy(), NullLogger<Assessor>.Instance);
        await DrainAsync(assessor, horses, "for the first time, its checks opened");
        await AskAsync(database, yards.Keys);
        await DrainAsync(assessor, horses, "again");
        Say($"file {new FileInfo(Path.Combine(folder, "backtracker.db")).Length / 1048576.0:F0} MiB, peak working set {Process.GetCurrentProcess().PeakWorkingSet64 / 1048576.0:F0} MiB");
        Directory.Delete(folder, recursive: true);
    }

    private static async Task DrainAsync(Assessor assessor, int horses, string how)
    {
        var (watch, processor) = (Stopwatch.StartNew(), Process.GetCurrentProcess().TotalProcessorTime);
        var result = await assessor.DrainAsync(CancellationToken.None);
        if (result.Assessed != horses)
            throw new InvalidOperationException($"{result.Assessed} of {horses} horses were assessed, {result.Failed} failed.");
        Say($"{horses} horses {how}: {watch.Elapsed.TotalSeconds:F1} s, {watch.Elapsed.TotalMilliseconds / horses:F2} ms each, {(Process.GetCurrentProcess().TotalProcessorTime - processor).TotalSeconds:F1} s of processor");
    }

    private static async Task AskAsync(Database database, IEnumerable<string> yards)
    {
        await using var session = await database.WriteAsync("benchmark", CancellationToken.None);
        foreach (var yard in yards.Order(StringComparer.Ordinal))
            await WorkQueueStore.AddHorsesOfYardAsync(session, yard);
        await session.CommitAsync();
    }

    private static void Say(FormattableString text) => Console.WriteLine(FormattableString.Invariant(text));
}
