using System.Diagnostics;
using System.Globalization;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Imports;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.People;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using BackTracker.Storage.Yards;
using Microsoft.Extensions.Logging.Abstractions;

namespace BackTracker.Benchmarks;

/// <summary>
/// How long the whole herd of an installation takes: every horse measured at three stations in 24 sessions of two repeats, a saddle on it known by
/// its widths, on a real SQLite file; facts loaded, assessed and saved by the assessor of the service, on all processors.
/// </summary>
internal static class ReassessTimes
{
    private const int HorsesOfAYard = 100;
    private const int Sessions = 24;
    private const string Header = "horse,measuredAt,measuredBy,method,exercise,station,depthMm,widthMm,repeat";
    private static readonly (string Station, int DepthMm, double WidthMm)[] Places = [("T8", 150, 296), ("T13", 30, 92), ("T13", 150, 310), ("T18", 150, 322)];

    public static async Task ReportAsync(int horses)
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-herd-").FullName;
        await using var dialect = new SqliteDialect(Path.Combine(folder, "backtracker.db"));
        var database = new Database(dialect, TimeProvider.System);
        await database.PrepareAsync(CancellationToken.None);
        var yards = new List<string>();
        for (var first = 0; first < horses; first += HorsesOfAYard)
            yards.Add(await FillYardAsync(database, folder, Math.Min(HorsesOfAYard, horses - first)));
        var assessor = new Assessor(database, TimeProvider.System, new CheckPolicy(), new AlertPolicy(), NullLogger<Assessor>.Instance);
        await DrainAsync(assessor, horses, "for the first time, its checks opened");
        await AskAsync(database, yards);
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

    private static async Task AskAsync(Database database, IReadOnlyList<string> yards)
    {
        await using var session = await database.WriteAsync("benchmark", CancellationToken.None);
        foreach (var yard in yards.Order(StringComparer.Ordinal))
            await WorkQueueStore.AddHorsesOfYardAsync(session, yard);
        await session.CommitAsync();
    }

    private static async Task<string> FillYardAsync(Database database, string folder, int horses)
    {
        var yardId = await AddYardAsync(database, horses);
        var path = Path.Combine(folder, "book.csv");
        await File.WriteAllLinesAsync(path, Lines(horses).Prepend(Header));
        await using var file = File.OpenRead(path);
        var run = new ImportDesk(TimeProvider.System).Begin("benchmark", ImportFormat.Csv);
        await new Importer(database, TimeProvider.System).RunAsync(run, Caller.Service("benchmark"), new ImportSource(file, folder, yardId), async prepared =>
        {
            if (run.Faults.Any)
                throw new InvalidOperationException(run.Faults.First[0].ToString());
            await using var session = await database.WriteAsync("benchmark", CancellationToken.None);
            await ImportRecorder.WriteAsync(session, run, prepared);
            await session.CommitAsync();
            return ImportState.Done;
        }, CancellationToken.None);
        return yardId;
    }

    private static async Task<string> AddYardAsync(Database database, int horses)
    {
        await using var session = await database.WriteAsync("benchmark", CancellationToken.None);
        var yardId = session.NewId();
        await YardStore.AddAsync(session, new YardRow { Id = yardId, Name = "Long Meadow", TimeZone = "Europe/London", ClosedDays = "[]", CreatedAt = session.NowText });
        await PersonStore.AddAsync(session, new PersonRow { Id = session.NewId(), Name = "Isla Brook", Role = "yard-manager", CreatedAt = session.NowText, Yards = yardId });
        for (var i = 0; i < horses; i++)
            await AddHorseAsync(session, yardId, i);
        await session.CommitAsync();
        return yardId;
    }

    private static async Task AddHorseAsync(WriteSession session, string yardId, int number)
    {
        var (horse, saddle, from) = (session.NewId(), session.NewId(), Instants.WriteDay(First));
        await HorseStore.AddAsync(session, new HorseRow { Id = horse, YardId = yardId, Name = $"Horse {number}", Status = "active", CreatedAt = session.NowText });
        await PhaseStore.AddAsync(session, new PhaseRow { Id = session.NewId(), HorseId = horse, FromDay = from, Phase = number % 2 == 0 ? "steady" : "building", CreatedAt = session.NowText });
        await SaddleStore.AddAsync(session, new SaddleRow { Id = saddle, YardId = yardId, Label = $"Saddle {number}", Tree = "rigid", Filling = "wool", CreatedAt = session.NowText });
        await SaddleStore.AddShapeAsync(session, new TreeShapeRow { Id = session.NewId(), SaddleId = saddle, FromDay = from, Body = Tree(), CreatedAt = session.NowText });
        await PairingStore.AddAsync(session, new PairingRow { Id = session.NewId(), HorseId = horse, SaddleId = saddle, FromDay = from, WeeklyMinutes = 240, CreatedAt = session.NowText });
    }

    private static string Tree() => $$"""{"stations":[{{string.Join(',', Places.Where(p => p.DepthMm == 150).Select(p => string.Create(CultureInfo.InvariantCulture, $"{{\"station\":\"{p.Station}\",\"width150Mm\":{p.WidthMm + 4}}}")))}}]}""";

    private static DateOnly First => DateOnly.FromDateTime(DateTime.UtcNow).AddDays(-28 * Sessions);

    /// <summary>Backs that widen or narrow by up to 8 mm a year, measured every four weeks.</summary>
    private static IEnumerable<string> Lines(int horses) =>
        from session in Enumerable.Range(0, Sessions)
        from horse in Enumerable.Range(0, horses)
        from place in Places
        from repeat in Enumerable.Range(1, 2)
        let width = place.WidthMm + (horse % 17 - 8) * session / 13.0 + (horse * 7 + session * 3 + repeat * 5) % 7 * .5
        select string.Create(CultureInfo.InvariantCulture,
            $"Horse {horse},{First.AddDays(28 * session):yyyy-MM-dd}T08:{horse % 60:00}:00Z,Isla Brook,flexible-curve,before,{place.Station},{place.DepthMm},{width:F1},{repeat}");

    private static void Say(FormattableString text) => Console.WriteLine(FormattableString.Invariant(text));
}
