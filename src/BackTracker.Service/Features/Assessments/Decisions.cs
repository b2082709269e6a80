using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Assessments;

/// <summary>Carries out what an assessment decided about the checks.</summary>
internal static class Decisions
{
    public static async Task CarryOutAsync(WriteSession session, AssessmentRow assessment, LoadedHorse loaded, Assessment outcome)
    {
        var byId = loaded.Checks.ToDictionary(c => c.Id);
        foreach (var decision in outcome.Decisions)
        {
            if (decision is CheckDecision.Open open)
                await OpenAsync(session, assessment, loaded.Inputs.Yard.Id, open.Check);
            else
                await ChangeAsync(session, assessment, byId, decision);
        }
    }

    private static async Task OpenAsync(WriteSession session, AssessmentRow assessment, string yardId, WantedCheck wanted)
    {
        var check = new CheckRow
        {
            Id = session.NewId(),
            HorseId = assessment.HorseId,
            YardId = yardId,
            PairingId = wanted.PairingId,
            Kind = Words.Write(wanted.Kind),
            State = "open",
            Reasons = Json.Write(wanted.Reasons),
            AssessmentId = assessment.Id,
            Version = 1,
            CreatedAt = session.NowText,
            OpenedOn = assessment.AssessedOn,
        }.With(wanted.Days);
        await CheckStore.AddAsync(session, check);
        await NoteAsync(session, check, "open", wanted.Reasons[0].Text);
        await CheckEvents.AddAsync(session, EventTypes.CheckOpened, check, check.Version);
    }

    private static async Task ChangeAsync(WriteSession session, AssessmentRow assessment, Dictionary<string, CheckRow> byId, CheckDecision decision)
    {
        var (id, action, note) = decision switch
        {
            CheckDecision.Revise r => (r.CheckId, "revise", r.Note),
            CheckDecision.Complete c => (c.CheckId, "complete", c.Note),
            CheckDecision.Drop d => (d.CheckId, "drop", d.Note),
            _ => throw new ArgumentOutOfRangeException(nameof(decision), decision, "An unknown kind of decision."),
        };
        var after = decision switch
        {
            CheckDecision.Revise r => byId[id].With(r.Days) with { Reasons = Json.Write(r.Reasons), AssessmentId = assessment.Id },
            CheckDecision.Complete c => byId[id] with { State = "done", DoneOn = Instants.WriteDay(c.On), ClosingNote = c.Note },
            _ => byId[id] with { State = "dropped", DoneOn = assessment.AssessedOn, ClosingNote = note },
        };
        // A person who was quicker has queued the horse again, so that this assessment would not have got here.
        if (!await CheckStore.ChangeAsync(session, after))
            throw new InvalidOperationException($"Check {id} changed under the assessment of its horse.");
        await NoteAsync(session, after, action, note);
        if (after.State is "done" or "dropped")
            await CheckEvents.AddAsync(session, EventTypes.CheckClosed, after, after.Version + 1);
        else if (CheckMapping.DaysOf(after) != CheckMapping.DaysOf(byId[id]))
            await CheckEvents.AddAsync(session, EventTypes.CheckMoved, after, after.Version + 1);
    }

    private static async Task NoteAsync(WriteSession session, CheckRow check, string action, string note)
    {
        await CheckStore.NoteStepAsync(session, check, action, note, Json.Write(CheckMapping.DaysOf(check)));
        await AuditStore.NoteAsync(session, action, "check", check.Id);
    }
}
