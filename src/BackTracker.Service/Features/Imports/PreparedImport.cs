using BackTracker.Engine.Alerts;
using BackTracker.Service.Delivery;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Exports;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Imports;

/// <summary>A file that was looked through: what is ready to be written, or the faults for which nothing is.</summary>
/// <param name="run">Told what is written.</param>
/// <param name="folder">Where what is ready may lie.</param>
internal sealed class PreparedImport(ImportRun run, string folder) : IDisposable
{
    private IReadOnlyDictionary<string, HorseState> _seen = new Dictionary<string, HorseState>();
    private IReadOnlyDictionary<string, int> _events = new Dictionary<string, int>();
    private Dictionary<string, string> _yards = [];
    private IReadOnlyCollection<string> _horses = [];
    private IReadOnlyCollection<string> _saddles = [];

    public PreparedMeasurements Measurements { get; } = new(folder);

    public PreparedRecords Records { get; } = new(folder);

    /// <summary>Takes over what was found of measurements.</summary>
    public void Ready(MeasurementIntake intake)
    {
        (_seen, _events, _yards) = (intake.States, intake.Events, intake.Yards);
        (run.AlreadyThere, run.AlreadyThereLines) = (intake.AlreadyThere, intake.AlreadyThereLines);
        run.RepeatAdvised = intake.RepeatAdvised;
        run.Horses = _yards.Count;
        run.Note(RecordKinds.Measurement, Measurements.Count);
    }

    /// <summary>Takes over what was found of records of all kinds.</summary>
    public void Ready(RecordIntake intake)
    {
        (_horses, _saddles) = (intake.TouchedHorses, intake.TouchedSaddles);
        (run.AlreadyThere, run.AlreadyThereLines) = (run.AlreadyThere + intake.AlreadyThere, [.. run.AlreadyThereLines.Concat(intake.AlreadyThereLines).Order().Take(ImportFaults.MostListed)]);
        foreach (var (kind, count) in Records.Counts)
            run.Note(kind, count);
    }

    /// <summary>Writes all of it, as if it had been recorded one by one.</summary>
    /// <exception cref="OvertakenException">Something has changed since it was looked at.</exception>
    public async Task WriteAsync(WriteSession session)
    {
        // Asked for first: from here on no other import can write to these horses.
        await WorkQueueStore.AddHorsesAsync(session, [.. _seen.Keys]);
        var now = await HorseStates.OfAsync(session, [.. _seen.Keys]);
        if (_seen.Any(seen => !now.TryGetValue(seen.Key, out var state) || state != seen.Value))
            throw new OvertakenException();
        await Records.WriteAsync(session);
        await MeasurementStore.AddManyAsync(session, Measurements.All().Select(m => m.Row));
        if (Measurements.AnyCorrects)
            await LinkAsync(session);
        await AuditStore.NoteManyAsync(session, "create", "measurement", Measurements.Ids().Select(m => (m.Id, (string?)_yards[m.HorseId])));
        await WorkQueueStore.AddActiveHorsesAsync(session, [.. _horses.Except(_seen.Keys)]);
        foreach (var saddleId in _saddles)
            await WorkQueueStore.AddHorsesOfSaddleAsync(session, saddleId);
        await OutboxStore.AddManyAsync(session, Kinds(), Told(await PlacesAsync(session), session.NowText));
    }

    public void Dispose()
    {
        Measurements.Dispose();
        Records.Dispose();
    }

    private async Task LinkAsync(WriteSession session)
    {
        foreach (var (row, _, eventIds) in Measurements.All())
        {
            if (row.Corrects is not { } corrected)
                continue;
            if (eventIds.Count == 0)
                await MeasurementStore.LinkAsync(session, corrected, row.Id);
            else if (!await MeasurementStore.ReplaceAsync(session, corrected, row.Id))
                throw MeasurementRecorder.NotLive(corrected);
        }
    }

    private IEnumerable<(string Type, string YardId)> Kinds() =>
        from yardId in _yards.Values.Distinct() from type in new[] { EventTypes.MeasurementRecorded, EventTypes.MeasurementRepeatAdvised } select (type, yardId);

    private async Task<Dictionary<string, long>> PlacesAsync(WriteSession session)
    {
        var places = new Dictionary<string, long>();
        foreach (var (horseId, count) in _events.OrderBy(c => c.Key, StringComparer.Ordinal))
            places[horseId] = await OutboxStore.TakePlacesAsync(session, horseId, count);
        return places;
    }

    // Gone through several times, each time from the first place on.
    private IEnumerable<OutboxRow> Told(Dictionary<string, long> places, string at)
    {
        var next = new Dictionary<string, long>(places);
        var forms = new Dictionary<(string Type, string YardId), Events.Form>();
        foreach (var (row, again, eventIds) in Measurements.All())
        {
            var data = Json.Write(MeasurementEvents.Data(row, again));
            for (var i = 0; i < eventIds.Count; i++)
            {
                var kind = (i == 0 ? EventTypes.MeasurementRecorded : EventTypes.MeasurementRepeatAdvised, _yards[row.HorseId]);
                if (!forms.TryGetValue(kind, out var form))
                    forms[kind] = form = new Events.Form(kind.Item1, kind.Item2, at);
                yield return form.Fill(eventIds[i], row.HorseId, OutboxStore.Sequence(++next[row.HorseId]), data);
            }
        }
    }
}
