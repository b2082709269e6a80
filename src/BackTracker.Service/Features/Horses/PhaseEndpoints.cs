using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Horses;

/// <summary>Training phases, past and planned.</summary>
internal static class PhaseEndpoints
{
    public static void MapPhases(this IEndpointRouteBuilder routes)
    {
        var phases = routes.MapGroup("/v1").WithTags("Phases");
        phases.MapPost("/horses/{id}/phases", RecordAsync).Needs(Scope.Manage).Creates<PhaseAnswer>("Record or plan a training phase");
        phases.MapHorseLists("phases", "training phases", PhaseStore.ListAsync, (phase, _) => PhaseAnswer.Of(phase));
        phases.MapGet("/phases/{id}", GetAsync).Needs(Scope.Read).Gets<PhaseAnswer>("Get a training phase");
        phases.MapPost("/phases/{id}/void", VoidAsync).Needs(Scope.Manage).Moves<PhaseAnswer>("Void a training phase entered by mistake or planned in vain");
    }

    /// <summary>Records a phase, whoever sends it.</summary>
    public static Task<IResult> RecordAsync(HttpContext http, string id, PhaseRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        HorseDays.RefuseBeforeBirth(horse, request.From!.Value, "/from");
        HorseDays.RefuseFarFuture(horse, request.From.Value, session.Now, "/from");
        var phase = request.ToRow(session.NewId(), horse.Id, session.NowText);
        await RefuseSecondOfDayAsync(session, phase);
        await PhaseStore.AddAsync(session, phase);
        await WorkQueueStore.AddHorseAsync(session, horse.Id);
        await AuditStore.NoteAsync(session, "create", "phase", phase.Id);
        return Answer.Created($"/v1/phases/{phase.Id}", PhaseAnswer.Of(phase), phase.Version);
    });

    private static async Task RefuseSecondOfDayAsync(WriteSession session, PhaseRow phase)
    {
        var others = await PhaseStore.OfHorseAsync(session, phase.HorseId);
        if (others.FirstOrDefault(o => o.VoidedAt is null && o.FromDay == phase.FromDay) is { } other)
            throw new ProblemException(ProblemKind.Conflict, $"The phase {HistoryWords.Plain(other.Phase)} begins on {other.FromDay} already. Take that back first, or choose another day.");
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var phase = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, PhaseAnswer.Of(phase), phase.Version);
    }

    public static Task<IResult> VoidAsync(HttpContext http, string id, VoidRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var phase = await RequireAsync(session, caller, id);
        if (phase.VoidedAt is not null)
            throw ProblemException.VoidedAlready(phase.VoidReason);
        Conditional.RequireMatch(http, phase.Version);
        var voided = phase with { VoidedAt = session.NowText, VoidReason = request.Reason };
        if (!await PhaseStore.VoidAsync(session, voided))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorseAsync(session, phase.HorseId);
        await AuditStore.NoteAsync(session, "void", "phase", phase.Id);
        return Answer.Ok(PhaseAnswer.Of(voided), voided.Version + 1);
    });

    /// <summary>The phase, where the caller may see its horse.</summary>
    public static async Task<PhaseRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await PhaseStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("phase", id);
}
