using System.Globalization;
using BackTracker.Service.Features.Imports;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.People;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Benchmarks;

/// <summary>A herd as an installation has it after two years: horses in yards, a saddle known by its widths on each, all measured every four weeks.</summary>
internal static class Herd
{
    /// <summary>Sessions of each horse.</summary>
    public const int Sessions = 24;

    private const string Header = "horse,measuredAt,measuredBy,method,exercise,station,depthMm,widthMm,repeat";

    /// <summary>Where each horse is measured, and how wide its back is there before it changes.</summary>
    public static readonly (string Station, int DepthMm, double WidthMm)[] Places = [("T8", 150, 296), ("T13", 30, 92), ("T13", 150, 310), ("T18", 150, 322)];

    /// <summary>Registers yards, horses and saddles; returns how many horses each yard has by its id.</summary>
    public static async Task<IReadOnlyDictionary<string, int>> RegisterAsync(Database database, int horses, int horsesOfAYard)
    {
        var yards = new Dictionary<string, int>();
        for (var first = 0; first < horses; first += horsesOfAYard)
        {
            var count = Math.Min(horsesOfAYard, horses - first);
            yards.Add(await AddYardAsync(database, count), count);
        }
        return yards;
    }

    /// <summary>Imports the sessions of a yard.</summary>
    public static async Task MeasureAsync(Database database, string folder, string yardId, int horses)
    {
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
}
