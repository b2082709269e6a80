using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Observability;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>Where an import comes from.</summary>
/// <param name="File">The file, which can be read several times.</param>
/// <param name="Folder">Where files may lie that are gone afterwards.</param>
/// <param name="YardId">The yard in which horses go by name; null where they do not.</param>
internal sealed record ImportSource(Stream File, string Folder, string? YardId);

/// <summary>
/// Looks a whole file through before it writes any of it: what is to be written lies ready when the transaction begins, so that others do not
/// wait for more than the writing. Where somebody has changed meanwhile what was looked at, all of it is looked at once more.
/// </summary>
/// <param name="database">The store.</param>
/// <param name="clock">The time.</param>
internal sealed class Importer(Database database, TimeProvider clock)
{
    private const int MostTries = 3;

    /// <summary>Looks a file through and hands what is ready to somebody who writes it; nothing is written where there are faults.</summary>
    /// <param name="run">Told how far it is; takes the faults.</param>
    /// <param name="caller">Who imports.</param>
    /// <param name="source">The file.</param>
    /// <param name="use">What to do with what is ready, or with the faults that are in it.</param>
    /// <param name="cancel">Gives up.</param>
    public async Task<T> RunAsync<T>(ImportRun run, Caller caller, ImportSource source, Func<PreparedImport, Task<T>> use, CancellationToken cancel)
    {
        for (var left = MostTries; ; left--)
        {
            using var prepared = await PrepareAsync(run, caller, source, cancel);
            Measured.Import(run.LinesRead);
            try
            {
                return await use(prepared);
            }
            catch (OvertakenException) when (left > 1)
            {
                // Looked at once more.
            }
        }
    }

    private async Task<PreparedImport> PrepareAsync(ImportRun run, Caller caller, ImportSource source, CancellationToken cancel)
    {
        await using var session = await database.SnapshotAsync(cancel);
        source.File.Position = 0;
        var yardId = source.YardId is { } id ? (await YardEndpoints.RequireAsync(session, caller, id)).Id : null;
        var prepared = new PreparedImport(run, source.Folder);
        try
        {
            using var rows = new RowSort(source.Folder);
            var now = clock.GetUtcNow();
            var intake = new MeasurementIntake(session, caller, now, run.Faults);
            if (run.Format == ImportFormat.Csv)
            {
                var names = new ImportNames(session, caller, yardId, run.Faults);
                await ReadBookAsync(run, source.File, caller, names, rows, cancel);
                await TakeAsync(BookMeasurements.Of(rows, names.Horses, run.Faults), intake, prepared, cancel);
            }
            else
            {
                var records = new RecordIntake(session, caller, now, run, prepared.Records, rows);
                await records.ReadAsync(source.File, cancel);
                await TakeAsync(records.Measurements(), intake, prepared, cancel);
                prepared.Ready(records);
            }
            return prepared;
        }
        catch
        {
            prepared.Dispose();
            throw;
        }
    }

    private static async Task TakeAsync(IEnumerable<MeasurementCandidate> candidates, MeasurementIntake intake, PreparedImport prepared, CancellationToken cancel)
    {
        foreach (var candidate in Ahead.Of(candidates.Where(intake.IsPossible)))
        {
            cancel.ThrowIfCancellationRequested();
            await intake.TakeAsync(candidate, prepared.Measurements);
        }
        prepared.Ready(intake);
    }

    private static async Task ReadBookAsync(ImportRun run, Stream file, Caller caller, ImportNames names, RowSort rows, CancellationToken cancel)
    {
        using var memory = new MemoryStream();
        using var writer = new BinaryWriter(memory);
        using var book = new BookReader(file, caller.PersonId is null, run.Faults);
        foreach (var row in Ahead.Of(book.Rows()))
        {
            cancel.ThrowIfCancellationRequested();
            (run.LinesRead, run.BytesRead) = (row.Line, row.Offset);
            if (await names.HorseAsync(row) is not { } place || await names.PersonAsync(row, names.Horses[place]) is not { } personId)
                continue;
            memory.SetLength(0);
            (row with { Person = personId }).Write(writer);
            writer.Flush();
            rows.Add(new RowKey(place, row.MeasuredAt.UtcTicks, row.Line), memory.GetBuffer().AsSpan(0, (int)memory.Length));
        }
        (run.LinesRead, run.BytesRead) = (book.Line, file.Length);
    }
}

/// <summary>Somebody has changed meanwhile what was looked at.</summary>
internal sealed class OvertakenException : Exception;
