using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Saddles;

/// <summary>Records changes to saddles, on their own or as part of a finished check.</summary>
internal static class AdjustmentRecorder
{
    public static async Task<AdjustmentRow> RecordAsync(WriteSession session, Caller caller, SaddleRow saddle, AdjustmentRequest request, string? checkId, CheckPolicy policy)
    {
        var today = await YardTime.TodayAsync(session, saddle.YardId, session.Now);
        if (request.DoneOn > today)
            throw ProblemException.Impossible("/doneOn", "What has not been done yet cannot be recorded. Record it on its day.");
        var by = await NamedPerson.RequireAsync(session, caller, caller.Person(request.DoneBy, "/doneBy"), "/doneBy");
        await RefuseUnequalBeforeVetAsync(session, saddle, request, today, policy);
        var row = new AdjustmentRow
        {
            Id = session.NewId(),
            SaddleId = saddle.Id,
            CheckId = checkId,
            DoneOn = Instants.WriteDay(request.DoneOn!.Value),
            DoneBy = by.Id,
            Kind = Words.Write(request.Kind!.Value),
            Zones = Json.Write(request.AllZones),
            Note = request.Note,
            Version = 1,
            CreatedAt = session.NowText,
        };
        await SaddleStore.AddAdjustmentAsync(session, row);
        await AuditStore.NoteAsync(session, "create", "adjustment", row.Id);
        await WorkQueueStore.AddHorsesOfSaddleAsync(session, saddle.Id);
        return row;
    }

    /// <summary>Unequal thickness left and right waits for the vet: an uneven back may be a sore one.</summary>
    private static async Task RefuseUnequalBeforeVetAsync(WriteSession session, SaddleRow saddle, AdjustmentRequest request, DateOnly today, CheckPolicy policy)
    {
        if (request.Kind == AdjustmentKind.Tree || !AdjustmentRequest.IsUnequal(request.AllZones))
            return;
        foreach (var horseId in await PairingStore.HorsesOnAsync(session, saddle.Id, Instants.WriteDay(today)))
            if (await VetFirstSigns.OpenAsync(session, horseId, policy) is { Count: > 0 } signs)
                throw new ProblemException(ProblemKind.VetFirst, $"A horse this saddle is used on has an open vet-first sign ({string.Join(", ", signs)}). Left and right are not made unequal before the vet's outcome is recorded.");
    }
}
