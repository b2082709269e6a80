using BackTracker.Engine.Assessments;
using BackTracker.Engine.Repeatability;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Features.Repeatability;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Measurements;

/// <summary>How a measurement came to be there.</summary>
public enum Recording
{
    New,

    /// <summary>The same was recorded under this id before; nothing was changed.</summary>
    Repeated,
}

/// <summary>A measurement that is there now.</summary>
public sealed record RecordedMeasurement(MeasurementRow Row, Recording Recording);

/// <summary>Records measurements, for the API, for imports and for the demo alike.</summary>
internal static class MeasurementRecorder
{
    private static readonly TimeSpan ClockMayDiffer = TimeSpan.FromMinutes(5);

    /// <summary>Records a measuring session, once for an id that the client made.</summary>
    /// <param name="session">The transaction.</param>
    /// <param name="caller">Who records.</param>
    /// <param name="horse">The horse, which the caller may see.</param>
    /// <param name="request">What to record, checked by <see cref="Requests.Validate"/>.</param>
    /// <param name="id">The client's id in canonical form; null to have one made.</param>
    /// <exception cref="ProblemException">The time, the person or the measurement to correct cannot be, or the id is taken by another.</exception>
    public static async Task<RecordedMeasurement> RecordAsync(WriteSession session, Caller caller, HorseRow horse, MeasurementRequest request, string? id)
    {
        if (id is not null && await MeasurementStore.FindAsync(session, Sight.All, id) is { } before)
            return Repeat(caller, horse, request, before);
        var row = await RowAsync(session, caller, horse, request, id ?? session.NewId());
        var replaced = await RequireCorrectedAsync(session, caller, row);
        row = row with { Advice = Json.Write(await AdviseAsync(session, horse, request, row)) };
        if (!await MeasurementStore.AddAsync(session, row))
            return Repeat(caller, horse, request, (await MeasurementStore.FindAsync(session, Sight.All, row.Id))!);
        if (replaced is not null && !await MeasurementStore.ReplaceAsync(session, replaced.Id, row.Id))
            throw NotLive(replaced.Id);
        await AuditStore.NoteAsync(session, "create", "measurement", row.Id);
        await WorkQueueStore.AddHorseAsync(session, horse.Id);
        await MeasurementEvents.AddAsync(session, horse, row);
        return new RecordedMeasurement(row, Recording.New);
    }

    private static RecordedMeasurement Repeat(Caller caller, HorseRow horse, MeasurementRequest request, MeasurementRow before)
    {
        var same = horse.Id == before.HorseId
            && caller.Person(request.MeasuredBy, "/measuredBy") == before.MeasuredBy
            && Instants.Write(request.MeasuredAt!.Value) == before.MeasuredAt
            && Words.Write(request.Method!.Value) == before.Method
            && Words.Write(request.Exercise ?? ExerciseState.Unknown) == before.Exercise
            && Ids.Canonical(request.Corrects) == before.Corrects
            && request.ToCanonicalJson() == before.Body;
        return same
            ? new RecordedMeasurement(before, Recording.Repeated)
            : throw new ProblemException(ProblemKind.Conflict, "This id is taken by another measurement. Make a new id; to change what was recorded, record a new measurement that names the old one in `corrects`.");
    }

    private static async Task<MeasurementRow> RowAsync(WriteSession session, Caller caller, HorseRow horse, MeasurementRequest request, string id)
    {
        var person = await NamedPerson.RequireAsync(session, caller, caller.Person(request.MeasuredBy, "/measuredBy"), "/measuredBy");
        return RowOf(horse, request, request.ToCanonicalJson(), person.Id, id, session.Now);
    }

    /// <summary>The row of a measurement by a person who is known, without its advice.</summary>
    /// <exception cref="ProblemException">The time or the id to correct cannot be.</exception>
    internal static MeasurementRow RowOf(HorseRow horse, MeasurementRequest request, string body, string? personId, string id, DateTimeOffset now) => new()
    {
        Id = id,
        HorseId = horse.Id,
        MeasuredAt = Instants.Write(request.MeasuredAt!.Value),
        MeasuredOn = Instants.WriteDay(RequireDay(now, horse, request.MeasuredAt.Value)),
        MeasuredBy = personId,
        Method = Words.Write(request.Method!.Value),
        Exercise = Words.Write(request.Exercise ?? ExerciseState.Unknown),
        Body = body,
        Corrects = request.Corrects is null ? null : Ids.Canonical(request.Corrects) ?? throw ProblemException.NotFound("measurement", request.Corrects),
        Version = 1,
        CreatedAt = Instants.Write(now),
    };

    private static DateOnly RequireDay(DateTimeOffset now, HorseRow horse, DateTimeOffset measuredAt)
    {
        if (measuredAt > now + ClockMayDiffer)
            throw ProblemException.Impossible("/measuredAt", "This lies in the future. Look at the clock of the device, and at the offset.");
        var day = YardTime.Day(horse.TimeZone, measuredAt);
        return horse.BornOn is { } born && day < Instants.ReadDay(born)
            ? throw ProblemException.Impossible("/measuredAt", $"The horse was born on {born}. Look at the year.")
            : day;
    }

    private static async Task<MeasurementRow?> RequireCorrectedAsync(WriteSession session, Caller caller, MeasurementRow row)
    {
        if (row.Corrects is null)
            return null;
        var corrected = await MeasurementStore.FindAsync(session, caller.Sight, row.Corrects) ?? throw ProblemException.NotFound("measurement", row.Corrects);
        if (corrected.HorseId != row.HorseId)
            throw ProblemException.Impossible("/corrects", "The measurement to correct is of another horse. Void it there and record this one without `corrects`.");
        return corrected is { VoidedAt: null, ReplacedBy: null } ? corrected : throw NotLive(corrected.Id);
    }

    internal static ProblemException NotLive(string id) =>
        new(ProblemKind.Conflict, $"The measurement {id} was voided or corrected already. Name the one that counts now in `corrects`, or leave it out.");

    private static async Task<IReadOnlyList<Advice>> AdviseAsync(WriteSession session, HorseRow horse, MeasurementRequest request, MeasurementRow row)
    {
        var before = (await MeasurementStore.LiveOfHorseAsync(session, horse.Id)).Where(earlier => earlier.Id != row.Corrects).ToList();
        var now = MeasurementFacts.ToSession(row);
        var model = await PriorsInUse.ModelAsync(session, now.On);
        var errors = await RepeatErrors.LoadAsync(session, horse.YardId, now.On, before.Select(MeasurementFacts.ToSession).Append(now), model.Learned);
        var known = await KnownTrendsAsync(session, horse, model, errors);
        foreach (var earlier in before.Where(earlier => string.CompareOrdinal(earlier.MeasuredOn, row.MeasuredOn) <= 0))
            known.Add(MeasurementFacts.ToSession(earlier));
        return MeasurementAdvice.Of(request, now, known);
    }

    /// <summary>The trends of a horse before its first session.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="horse">The horse.</param>
    /// <param name="model">The model and what it learned.</param>
    /// <param name="errors">Errors of those who measured it.</param>
    internal static async Task<RunningTrends> KnownTrendsAsync(ReadSession session, HorseRow horse, TrendModel model, MeasurementErrors errors)
    {
        var phases = await PhaseStore.LiveOfHorseAsync(session, horse.Id);
        var events = await EventStore.LiveOfHorseAsync(session, horse.Id);
        return new RunningTrends([.. phases.Select(HorseHistory.ToFact)], [.. events.Select(HorseHistory.ToFact)], Instants.ReadDayIfAny(horse.BornOn), model, errors);
    }
}
