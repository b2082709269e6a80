using BackTracker.Engine.Alerts;
using BackTracker.Service.Delivery;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;
using BackTracker.Storage.Audit;
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

    public PreparedMeasurements Measurements { get; } = new(folder);

    /// <summary>Takes over what the intake has found.</summary>
    public void Ready(MeasurementIntake intake)
    {
        (_seen, _events) = (intake.States, intake.Events);
        (run.AlreadyThere, run.AlreadyThereLines) = (intake.AlreadyThere, intake.AlreadyThereLines);
        run.RepeatAdvised = intake.RepeatAdvised;
        run.Horses = _events.Count;
        run.Note("measurement", Measurements.Count);
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
        await MeasurementStore.AddManyAsync(session, Measurements.All().Select(m => m.Row));
        await AuditStore.NoteManyAsync(session, "create", "measurement", Measurements.All().Select(m => m.Row.Id));
        await OutboxStore.AddManyAsync(session, Told(await PlacesAsync(session), session.NowText));
    }

    public void Dispose() => Measurements.Dispose();

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
                var kind = (i == 0 ? EventTypes.MeasurementRecorded : EventTypes.MeasurementRepeatAdvised, _seen[row.HorseId].YardId);
                if (!forms.TryGetValue(kind, out var form))
                    forms[kind] = form = new Events.Form(kind.Item1, kind.YardId, at);
                yield return form.Fill(eventIds[i], row.HorseId, OutboxStore.Sequence(++next[row.HorseId]), data);
            }
        }
    }
}
