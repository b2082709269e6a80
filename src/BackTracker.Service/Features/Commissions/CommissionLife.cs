using System.Text.Json.Nodes;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Commissions;

/// <summary>The steps of a commission from stage to stage, and what stands in their way.</summary>
internal sealed class CommissionLife(Writes writes, CheckPolicy policy)
{
    public Task<IResult> StepAsync(HttpContext http, string id, StageRequest request, Caller caller) => writes.RunAsync(http, request, async session =>
    {
        var row = await CommissionEndpoints.RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, row.Version);
        var (before, stage) = (Words.Read<CommissionStage>(row.Stage), request.Stage!.Value);
        if (!Stages.After(before).Contains(stage))
            throw new ProblemException(ProblemKind.Conflict, OutOfOrder(before, stage));
        var steps = await CommissionStore.StepsAsync(session, [row.Id]);
        await RefuseDayAsync(session, caller, row, steps, request.On!.Value);
        var basis = await BasisAsync(session, caller, row, steps, request);
        await RefuseUnreadyAsync(session, row, steps, stage);
        if (stage == CommissionStage.TemplateSent)
            await KeepTemplateAsync(session, row, basis!, request.On.Value);
        await MoveAsync(session, row, new CommissionStepRow
        {
            Stage = Words.Write(stage),
            OnDay = Instants.WriteDay(request.On.Value),
            Note = request.Note,
            OverrideReason = request.OverrideReason,
            MeasurementId = basis?.Id,
            MeasuredOn = basis?.MeasuredOn,
        });
        var after = (await CommissionStore.FindAsync(session, Sight.All, row.Id))!;
        return Answer.Ok(await CommissionAnswer.OfAsync(session, after), after.Version);
    });

    /// <summary>Writes a step and where it leads. Everybody who moves a commission on does so here.</summary>
    public static async Task MoveAsync(WriteSession session, CommissionRow row, CommissionStepRow step)
    {
        // A trial begins with every step that a person takes to it; one that is opened again goes on as it was.
        var begins = step.Stage == Words.Write(CommissionStage.TreeTrial) && row.Stage is not ("passed" or "finished");
        if (!await CommissionStore.ChangeAsync(session, row with { Stage = step.Stage, Round = row.Round + (begins ? 1 : 0) }))
            throw ProblemException.Overtaken();
        await CommissionStore.AddStepAsync(session, step with { Id = session.NewId(), CommissionId = row.Id, CreatedAt = session.NowText });
        await WorkQueueStore.AddHorseAsync(session, row.HorseId);
        await AuditStore.NoteAsync(session, step.Stage, "commission", row.Id);
    }

    private static string OutOfOrder(CommissionStage before, CommissionStage stage)
    {
        var after = Stages.After(before).Select(Words.Write).ToList();
        return after.Count == 0 ? $"It is {Words.Write(before)}, and over." : $"It is {Words.Write(before)}: {Words.Write(stage)} does not follow. What may follow: {string.Join(", ", after)}.";
    }

    /// <summary>Refuses a day to come, and one before the step before.</summary>
    public static async Task RefuseDayAsync(WriteSession session, Caller caller, CommissionRow row, IReadOnlyList<CommissionStepRow> steps, DateOnly on)
    {
        HorseDays.RefuseFuture(await HorseEndpoints.RequireAsync(session, caller, row.HorseId), on, session.Now, "/on");
        if (on < Instants.ReadDay(steps[^1].OnDay))
            throw ProblemException.Impossible("/on", $"It was {steps[^1].Stage} on {steps[^1].OnDay}; what comes after cannot have been before.");
    }

    /// <summary>The measurement a step rests on; null where it rests on none.</summary>
    private static async Task<MeasurementRow?> BasisAsync(ReadSession session, Caller caller, CommissionRow row, IReadOnlyList<CommissionStepRow> steps, StageRequest request)
    {
        if (request.MeasurementId is not null && request.Stage is not (CommissionStage.Measured or CommissionStage.TemplateSent))
            throw ProblemException.Impossible("/measurementId", "Only measured and template-sent name a measurement. Leave it out.");
        if (request.Stage is not (CommissionStage.Measured or CommissionStage.TemplateSent or CommissionStage.TreeCut))
            return null;
        var named = request.MeasurementId ?? (request.Stage == CommissionStage.Measured ? null : steps.Last(step => step.MeasurementId is not null).MeasurementId);
        if (named is null)
            throw ProblemException.Impossible("/measurementId", "Say which measurement it rests on: measurementId is the id of one of the horse.");
        var measurement = await MeasurementStore.FindAsync(session, caller.Sight, Ids.Canonical(named) ?? "");
        if (measurement is null || measurement.HorseId != row.HorseId)
            throw ProblemException.Impossible("/measurementId", $"There is no measurement {named} of this horse.");
        if (measurement.VoidedAt is not null || measurement.ReplacedBy is not null)
            throw ProblemException.Impossible("/measurementId", "That measurement was voided or corrected since. Name the one that counts.");
        RefuseStale(measurement, request);
        return measurement;
    }

    private static void RefuseStale(MeasurementRow measurement, StageRequest request)
    {
        var (measured, on) = (Instants.ReadDay(measurement.MeasuredOn), request.On!.Value);
        if (measured > on)
            throw ProblemException.Impossible("/on", $"The back was measured on {measurement.MeasuredOn}, after that day.");
        if (Template.AgeOn(measured, on) == TemplateAge.Stale && request.OverrideReason is null)
            throw ProblemException.Impossible("/overrideReason", TemplateWords.Stale(measured, on));
    }

    /// <summary>The template as it is sent: what was measured then, whatever is corrected later. What people wrote stays behind.</summary>
    private static async Task KeepTemplateAsync(WriteSession session, CommissionRow row, MeasurementRow measurement, DateOnly on)
    {
        var measured = JsonNode.Parse(measurement.Body)!.AsObject();
        measured.Remove("note");
        var body = Json.Write(measured);
        await CommissionRecords.AddTemplateAsync(session, new TemplateRow
        {
            Id = session.NewId(),
            CommissionId = row.Id,
            MeasurementId = measurement.Id,
            MeasuredOn = measurement.MeasuredOn,
            SentOn = Instants.WriteDay(on),
            Body = body,
            Checksum = TemplateChecksum.Of(body),
            CreatedAt = session.NowText,
        });
    }

    private async Task RefuseUnreadyAsync(WriteSession session, CommissionRow row, IReadOnlyList<CommissionStepRow> steps, CommissionStage stage)
    {
        if (stage is CommissionStage.Passed or CommissionStage.Finished or CommissionStage.Delivered)
        {
            var (trial, _) = await KnownTrial.LoadAsync(session, row, policy);
            if (trial.Verdict != TrialVerdict.Pass)
                throw new ProblemException(ProblemKind.Conflict, $"The trial is not passed. {string.Join(' ', trial.Reasons)}");
        }
        if (stage == CommissionStage.Delivered && (await CommissionFacts.LoadAsync(session, row, steps)).Came is null)
            throw new ProblemException(ProblemKind.Conflict, $"The tree that came was never measured: record it first (POST /v1/saddles/{row.SaddleId}/tree-shapes), so that the fit can be watched from the first ride on.");
        if (stage == CommissionStage.Settled && !BeddingInEndpoints.IsSettled(await BeddingInEndpoints.LoadAsync(session, row, steps)))
            throw new ProblemException(ProblemKind.Conflict, "It is not bedded in: three looks at the room over the spine, 20 ridden hours, the last look without fault, and next to nothing still to come.");
    }
}
