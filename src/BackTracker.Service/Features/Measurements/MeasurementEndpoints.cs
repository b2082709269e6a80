using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Measuring sessions. Never changed and never deleted: they are voided, or corrected by a new one that names the old.</summary>
internal static class MeasurementEndpoints
{
    public static void MapMeasurements(this IEndpointRouteBuilder routes)
    {
        var ofHorse = routes.MapGroup("/v1/horses/{id}/measurements").WithTags("Measurements");
        ofHorse.MapPost("/", RecordAsync).Needs(Scope.Record).Creates<MeasurementReceipt>("Record a measuring session");
        ofHorse.MapGet("/", ListOfHorseAsync).Needs(Scope.Read).Lists<MeasurementAnswer>("List the measuring sessions of a horse");
        var all = routes.MapGroup("/v1/measurements").WithTags("Measurements");
        all.MapGet("/", ListAsync).Needs(Scope.Read).Lists<MeasurementAnswer>("List measuring sessions");
        all.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<MeasurementAnswer>("Get a measuring session");
        all.MapPut("/{id}", RecordOnceAsync).Needs(Scope.Record).WithSummary("Record a measuring session once, under an id made by the client")
            .Produces<MeasurementReceipt>(201).Produces<MeasurementReceipt>(200)
            .Produces<ProblemDocument>(409, "application/problem+json").Produces<ProblemDocument>(422, "application/problem+json");
        all.MapPost("/{id}/void", VoidAsync).Needs(Scope.Record).Does<MeasurementAnswer>("Void a measuring session").Refuses(ProblemKind.Stale);
    }

    private static Task<IResult> RecordAsync(HttpContext http, string id, MeasurementRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        return AnswerOf(await MeasurementRecorder.RecordAsync(session, caller, horse, request, null));
    });

    /// <summary>Record a measuring session once, under an id made by the client</summary>
    public static Task<IResult> RecordOnceAsync(HttpContext http, string id, ClientMeasurementRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var canonical = Ids.Canonical(id) ?? throw new ProblemException(ProblemKind.Malformed, "The id in the address has to be a UUID such as 0198b2f2-7c1e-7a3b-9d04-5f6a7b8c9d0e.");
        var horse = await HorseEndpoints.RequireAsync(session, caller, request.HorseId!);
        return AnswerOf(await MeasurementRecorder.RecordAsync(session, caller, horse, request, canonical));
    });

    private static Answer AnswerOf(RecordedMeasurement recorded)
    {
        var receipt = MeasurementReceipt.Of(recorded.Row);
        return recorded.Recording == Recording.New
            ? Answer.Created($"/v1/measurements/{recorded.Row.Id}", receipt, recorded.Row.Version)
            : Answer.Ok(receipt, recorded.Row.Version);
    }

    private static async Task<IResult> ListOfHorseAsync(HttpContext http, string id, QueryDay? from, QueryDay? to, string? station, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        return await PageAsync(http, session, caller, Filter(from, to, station) with { HorseId = horse.Id });
    }

    private static async Task<IResult> ListAsync(HttpContext http, string? yardId, QueryDay? from, QueryDay? to, string? station, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = yardId is null ? null : await YardEndpoints.RequireAsync(session, caller, yardId);
        return await PageAsync(http, session, caller, Filter(from, to, station) with { YardId = yard?.Id ?? "" });
    }

    private static async Task<IResult> PageAsync(HttpContext http, ReadSession session, Caller caller, MeasurementFilter filter) =>
        Paging.List(http, await MeasurementStore.ListAsync(session, caller.Sight, filter, Paging.Of(http)), MeasurementAnswer.Of);

    private static MeasurementFilter Filter(QueryDay? from, QueryDay? to, string? station) =>
        station is null || Station.TryParse(station, out _)
            ? new(From: DayText(from), To: DayText(to), Station: station ?? "")
            : throw new ProblemException(ProblemKind.BadQuery, MeasurementRules.StationHint);

    private static string DayText(QueryDay? day) => day is { } given ? Instants.WriteDay(given.Day) : "";

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var measurement = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, MeasurementAnswer.Of(measurement), measurement.Version);
    }

    /// <summary>Void a measuring session</summary>
    public static Task<IResult> VoidAsync(HttpContext http, string id, VoidRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var measurement = await RequireAsync(session, caller, id);
        Conditional.MatchIfSent(http, measurement.Version);
        if (measurement.VoidedAt is not null)
            throw new ProblemException(ProblemKind.Conflict, $"It was voided already: {measurement.VoidReason}");
        if (!await MeasurementStore.VoidAsync(session, measurement, request.Reason!))
            throw ProblemException.Overtaken();
        await AuditStore.NoteAsync(session, "void", "measurement", measurement.Id);
        await WorkQueueStore.AddHorseAsync(session, measurement.HorseId);
        var now = await RequireAsync(session, caller, id);
        return Answer.Ok(MeasurementAnswer.Of(now), now.Version);
    });

    /// <summary>The measurement, where the caller may see its horse.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<MeasurementRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await MeasurementStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("measurement", id);
}
