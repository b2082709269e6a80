using System.Diagnostics;
using System.Globalization;
using BackTracker.Service.Features.Imports;
using BackTracker.Service.Http;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Horses;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;
using Microsoft.Data.Sqlite;

namespace BackTracker.Benchmarks;

/// <summary>
/// How many rows of a CSV file are imported a second by the handler of the API into a real SQLite file, and how much memory that takes; beside
/// it, in the same run and on the same file system, how many a program inserts that does nothing but bind and step a prepared insert.
/// </summary>
internal static class ImportTimes
{
    private const int Rounds = 9;
    private const int RowsOfASession = 4;
    private const int SessionsOfAHorse = 50;
    private const string Header = "horse,measuredAt,measuredBy,method,exercise,station,depthMm,widthMm,leftHalfMm,rightHalfMm,repeat,weightKg,girthMm,conditionScore1to9,note\n";
    private static readonly DateTimeOffset First = new(2016, 1, 4, 8, 0, 0, TimeSpan.Zero);

    public static async Task ReportAsync(int rows)
    {
        await ImportAsync(rows / 10, 0); // Warms up.
        var (bestRaw, best, leastRaw, least) = (double.MaxValue, double.MaxValue, double.MaxValue, double.MaxValue);
        for (var round = 0; round < Rounds; round++)
        {
            var (rawSeconds, rawProcessor) = InsertRaw(rows);
            leastRaw = Math.Min(leastRaw, rawProcessor);
            var imported = await ImportAsync(rows, 1);
            least = Math.Min(least, imported.ProcessorSeconds);
            (bestRaw, best) = (Math.Min(bestRaw, rawSeconds), Math.Min(best, imported.Seconds));
            Say($"import {rows} rows: {rows / imported.Seconds:F0} rows/s; raw {rows / rawSeconds:F0} rows/s; ratio {rawSeconds / imported.Seconds:F2}; others waited {imported.WriteSeconds * 1000:F0} ms; heap grew {imported.HeapMiB:F1} MiB");
        }
        // A shared machine spoils single rounds, never for the better.
        Say($"import best of {Rounds}: {rows / best:F0} rows/s; raw {rows / bestRaw:F0} rows/s; ratio {bestRaw / best:F2}; by processor time {leastRaw:F2} and {least:F2} s, ratio {leastRaw / least:F2}");
        var large = await ImportAsync(10 * rows, 1);
        Say($"import {10 * rows} rows: {10 * rows / large.Seconds:F0} rows/s; others waited {large.WriteSeconds * 1000:F0} ms; heap grew {large.HeapMiB:F1} MiB; peak working set {Process.GetCurrentProcess().PeakWorkingSet64 / 1048576.0:F0} MiB");
    }

    private static double Processor() => Process.GetCurrentProcess().TotalProcessorTime.TotalSeconds;

    private static void Say(FormattableString text) => Console.WriteLine(FormattableString.Invariant(text));

    private static async Task<(double Seconds, double WriteSeconds, double HeapMiB, double ProcessorSeconds)> ImportAsync(int rows, int least)
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-import-").FullName;
        await using var dialect = new SqliteDialect(Path.Combine(folder, "backtracker.db"));
        var database = new Database(dialect, TimeProvider.System);
        await database.PrepareAsync(CancellationToken.None);
        var yardId = await FillAsync(database, rows / RowsOfASession / SessionsOfAHorse + least);
        var path = Path.Combine(folder, "book.csv");
        await File.WriteAllLinesAsync(path, Lines(rows).Prepend(Header.TrimEnd()));
        GC.Collect();
        var before = GC.GetTotalMemory(true);
        var (peak, writing) = (before, 0.0);
        await using var file = File.OpenRead(path);
        var (run, importer) = (new ImportDesk(TimeProvider.System).Begin("benchmark", ImportFormat.Csv), new Importer(database, TimeProvider.System));
        ImportState state;
        var (watch, began) = (Stopwatch.StartNew(), Processor());
        await using (new Timer(_ => peak = Math.Max(peak, GC.GetGCMemoryInfo().HeapSizeBytes), null, 10, 10))
        {
            state = await importer.RunAsync(run, Caller.Service("benchmark"), new ImportSource(file, folder, yardId), async prepared =>
            {
                if (run.Faults.Any)
                    throw new InvalidOperationException(run.Faults.First[0].ToString());
                var begun = watch.Elapsed;
                await using var session = await database.WriteAsync("benchmark", CancellationToken.None);
                await ImportRecorder.WriteAsync(session, run, prepared);
                await session.CommitAsync();
                writing = (watch.Elapsed - begun).TotalSeconds;
                return ImportState.Done;
            }, CancellationToken.None);
        }
        var (seconds, processor) = (watch.Elapsed.TotalSeconds, Processor() - began);
        if (state != ImportState.Done || run.Answer(state).Records["measurement"] != rows / RowsOfASession)
            throw new InvalidOperationException("Not all of it was imported.");
        Directory.Delete(folder, recursive: true);
        return (seconds, writing, (peak - before) / 1048576.0, processor);
    }

    private static async Task<string> FillAsync(Database database, int horses)
    {
        await using var session = await database.WriteAsync("benchmark", CancellationToken.None);
        var yardId = session.NewId();
        await YardStore.AddAsync(session, new YardRow { Id = yardId, Name = "Long Meadow", TimeZone = "Europe/London", ClosedDays = "[]", CreatedAt = session.NowText });
        await PersonStore.AddAsync(session, new PersonRow { Id = session.NewId(), Name = "Isla Brook", Role = "yard-manager", CreatedAt = session.NowText, Yards = yardId });
        for (var i = 0; i < horses; i++)
            await HorseStore.AddAsync(session, new HorseRow { Id = session.NewId(), YardId = yardId, Name = $"Horse {i}", Status = "active", CreatedAt = session.NowText });
        await session.CommitAsync();
        return yardId;
    }

    /// <summary>Two widths, each twice, of horses measured every four weeks, in the order of the days: as a yard keeps its book.</summary>
    private static IEnumerable<string> Lines(int rows)
    {
        var horses = Math.Max(1, rows / RowsOfASession / SessionsOfAHorse);
        for (var i = 0; i < rows; i++)
            yield return string.Join(',', Cells(i, horses));
    }

    private static string[] Cells(int row, int horses)
    {
        var (session, place) = (row / RowsOfASession, row % RowsOfASession);
        var (horse, nth) = (session % horses, session / horses);
        var width = (place / 2 == 0 ? 90 : 310) + 0.4 * nth % 15 + row * 7 % 5 * 0.5;
        return
        [
            $"Horse {horse}", First.AddDays(28 * nth).AddMinutes(horse % 600).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture), "Isla Brook", "flexible-curve", "before", "T13",
            place / 2 == 0 ? "30" : "150", width.ToString(CultureInfo.InvariantCulture), "", "", (place % 2 + 1).ToString(CultureInfo.InvariantCulture), place == 0 ? "512" : "", "", "", "",
        ];
    }

    private static (double Seconds, double ProcessorSeconds) InsertRaw(int rows)
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-raw-").FullName;
        var cells = Enumerable.Range(0, rows).Select(i => Cells(i, Math.Max(1, rows / RowsOfASession / SessionsOfAHorse))).ToList();
        using (var connection = new SqliteConnection($"Data Source={Path.Combine(folder, "raw.db")};Pooling=False"))
        {
            connection.Open();
            Execute(connection, "pragma journal_mode = wal");
            Execute(connection, "pragma synchronous = full");
            Execute(connection, $"create table book (id integer primary key, {Header.TrimEnd()})");
            var (watch, began) = (Stopwatch.StartNew(), Processor());
            using (var transaction = connection.BeginTransaction())
            {
                using var insert = connection.CreateCommand();
                insert.CommandText = $"insert into book ({Header.TrimEnd()}) values ({string.Join(',', Header.Split(',').Select((_, i) => $"$c{i}"))})";
                var parameters = Header.Split(',').Select((_, i) => insert.Parameters.Add($"$c{i}", SqliteType.Text)).ToArray();
                insert.Prepare();
                foreach (var row in cells)
                {
                    for (var i = 0; i < parameters.Length; i++)
                        parameters[i].Value = row[i].Length == 0 ? DBNull.Value : row[i];
                    insert.ExecuteNonQuery();
                }
                transaction.Commit();
            }
            var (seconds, processor) = (watch.Elapsed.TotalSeconds, Processor() - began);
            connection.Close();
            Directory.Delete(folder, recursive: true);
            return (seconds, processor);
        }
    }

    private static void Execute(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }
}
