using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Policies;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Checks;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Checks;

/// <summary>What a person does to a check: the row as it is to be, the word for the step, and why.</summary>
/// <param name="Check">The row to write.</param>
/// <param name="Action">The step.</param>
/// <param name="Note">Why.</param>
public sealed record CheckStep(CheckRow Check, string Action, string? Note);

/// <summary>The moves people make with checks, and what stands in their way.</summary>
internal sealed class CheckLife(Writes writes, CheckPolicy policy)
{
    /// <summary>Runs a move: finds the check, insists on its version, writes it back with its step, and has the horse assessed again.</summary>
    public Task<IResult> ChangeAsync(HttpContext http, string id, object request, Caller caller, Func<WriteSession, CheckRow, Task<CheckStep>> move) =>
        writes.RunAsync(http, request, async session =>
        {
            var before = await CheckEndpoints.RequireAsync(session, caller, id);
            Conditional.RequireMatch(http, before.Version);
            RefuseOver(before);
            var step = await move(session, before);
            await SaveAsync(session, step);
            var after = (await CheckStore.FindAsync(session, Sight.All, before.Id))!;
            return Answer.Ok(CheckAnswer.Of(after), after.Version);
        });

    /// <summary>Writes a step with its history, audit and event and has the horse assessed again.</summary>
    public static async Task SaveAsync(WriteSession session, CheckStep step)
    {
        if (!await CheckStore.ChangeAsync(session, step.Check))
            throw ProblemException.Overtaken();
        await CheckStore.NoteStepAsync(session, step.Check, step.Action, step.Note, Json.Write(CheckMapping.DaysOf(step.Check)));
        await AuditStore.NoteAsync(session, step.Action, "check", step.Check.Id);
        await (step.Action == "complete" && step.Check.PairingId is { } pairing // Its flocking was looked at for every horse it is on.
            ? WorkQueueStore.AddHorsesOfPairingAsync(session, pairing)
            : WorkQueueStore.AddHorseAsync(session, step.Check.HorseId));
        await CheckEvents.AddAsync(session, CheckEvents.TypeOf(step), step.Check, step.Check.Version + 1);
    }

    public async Task<CheckStep> BookAsync(WriteSession session, CheckRow check, BookRequest request, Caller caller)
    {
        await RefuseBeforeVetAsync(session, check);
        if (check.State == "booked")
            throw new ProblemException(ProblemKind.Conflict, $"It is booked for {check.BookedOn}. Take that booking back first (unbook).");
        var visit = request.VisitId is null ? null : await Bookings.JoinAsync(session, caller, check, request);
        var person = await ComerAsync(session, check, request.FitterId ?? visit?.FitterId, caller);
        if (visit is not null && person?.Id != visit.FitterId)
            throw ProblemException.Impossible("/fitterId", "Somebody else comes on that visit. Leave fitterId out, or book the check on its own.");
        Bookings.RequireDay(await YardEndpoints.RequireAsync(session, caller, check.YardId), person, request.On!.Value, session.Now);
        var on = Instants.WriteDay(request.On.Value);
        return new CheckStep(check with { State = "booked", BookedOn = on, FitterId = person?.Id, VisitId = visit?.Id }, "book", $"for {on}");
    }

    /// <summary>Moves the booking of a check with its visit; that the day is possible has been seen.</summary>
    public async Task<CheckStep> MoveAsync(WriteSession session, CheckRow check, DateOnly on, string reason)
    {
        await RefuseBeforeVetAsync(session, check);
        return new CheckStep(check with { BookedOn = Instants.WriteDay(on) }, "move", $"to {Instants.WriteDay(on)}: {reason}");
    }

    public static CheckStep Unbook(CheckRow check, ReasonRequest request) =>
        check.State == "booked"
            ? new CheckStep(check with { State = "open", BookedOn = null, VisitId = null }, "unbook", request.Reason)
            : throw new ProblemException(ProblemKind.Conflict, "It is not booked, so there is no booking to take back.");

    public async Task<CheckStep> PostponeAsync(WriteSession session, CheckRow check, PostponeRequest request)
    {
        if (check.Kind == "vet")
            throw new ProblemException(ProblemKind.VetFirst, "A vet check is not put off: the saddle is not used until a vet has looked. Book the vet.");
        await RefuseBeforeVetAsync(session, check);
        if (check.State == "booked")
            throw new ProblemException(ProblemKind.Conflict, "It is booked. Take the booking back first, then postpone or book another day.");
        var days = CheckMapping.DaysOf(check);
        var until = request.Until!.Value;
        if (until <= days.DueOn)
            throw ProblemException.Impossible("/until", $"It is due on {check.DueOn}; name a later day.");
        if (until < await YardTime.TodayAsync(session, check.YardId, session.Now))
            throw ProblemException.Impossible("/until", $"{Instants.WriteDay(until)} has passed. Name today or a later day.");
        var presses = Presses(check);
        var risk = RiskUntil(check, presses, until);
        if (risk is not null && request.AcceptRisk != true)
            throw new ProblemException(ProblemKind.Conflict, risk);
        var later = until.DayNumber - days.DueOn.DayNumber;
        var moved = days with { DueOn = until, BookBy = days.BookBy.AddDays(later), ClosesOn = until > days.ClosesOn ? until : days.ClosesOn, Urgency = presses ? days.Urgency : Urgency.Routine };
        return new CheckStep(
            check.With(moved) with { PostponedUntil = Instants.WriteDay(until), AcceptedRisk = risk is null ? check.AcceptedRisk : 1 },
            "postpone", risk is null ? request.Reason : $"{request.Reason} (risk accepted)");
    }

    // What is to be done before the next ride is no less urgent for being put off.
    private static bool Presses(CheckRow check) =>
        CheckMapping.ToFact(check) is var fact && fact.Days.Urgency == Urgency.Now
        && fact.Reasons.Any(reason => reason.Cause is Cause.VetFirst or Cause.OutNow or Cause.SaddleSign or Cause.BackToWork);

    /// <summary>What is risked by putting it off, in words; null where nothing is.</summary>
    private static string? RiskUntil(CheckRow check, bool presses, DateOnly until)
    {
        if (presses)
            return "It is to be done before the next ride. Whoever puts it off keeps the saddle off the horse until then and accepts the risk in so many words (acceptRisk: true).";
        return until <= Instants.ReadDay(check.ClosesOn) ? null
            : $"The window closes on {check.ClosesOn}: after that {(check.Kind == "remeasure" ? "" : "the tree is as likely out of tolerance as not, or ")}the check is late beyond reason. Choose an earlier day, or accept the risk in so many words (acceptRisk: true).";
    }

    public async Task<CheckStep> CompleteAsync(WriteSession session, CheckRow check, CompleteRequest request, Caller caller)
    {
        RefuseByHand(check);
        await RefuseBeforeVetAsync(session, check);
        var on = request.On!.Value;
        await Bookings.RequireTakenPlaceAsync(session, check.YardId, on);
        var beforeDays = (await PolicyLevels.InYardAsync(session, policy, check.YardId)).BeforeWorkDays;
        if (on < Instants.ReadDay(check.OpenedOn).AddDays(-beforeDays))
            throw ProblemException.Impossible("/on", $"The check was opened on {check.OpenedOn}: what was done more than {beforeDays} days before is not its completion. Look at the day.");
        var by = (await NamedPerson.RequireAsync(session, caller, caller.Person(request.By, "/by"), "/by")).Id;
        await RecordAdjustmentsAsync(session, check, request, caller, by);
        return new CheckStep(
            check with
            {
                State = "done",
                DoneOn = Instants.WriteDay(on),
                DoneBy = by,
                Findings = request.Findings is { Count: > 0 } ? Json.Write(request.Findings) : null,
            },
            "complete", request.Findings is { Count: > 0 } ? string.Join(" ", request.Findings.Select(f => f.Text)) : null);
    }

    public async Task<CheckStep> DropAsync(WriteSession session, CheckRow check, ReasonRequest request)
    {
        if (check.Kind == "vet")
            throw new ProblemException(ProblemKind.VetFirst, "A vet check is not dropped: it closes with the vet's outcome on what was seen.");
        await RefuseBeforeVetAsync(session, check);
        var today = await YardTime.TodayAsync(session, check.YardId, session.Now);
        return new CheckStep(
            check with { State = "dropped", DoneOn = Instants.WriteDay(today), ClosingNote = request.Reason, DroppedByPerson = 1 }, "drop", request.Reason);
    }

    /// <summary>What is over stays as it is.</summary>
    public static void RefuseOver(CheckRow check)
    {
        if (check.State is "done" or "dropped")
            throw new ProblemException(ProblemKind.Conflict, $"The check was {check.State} on {check.DoneOn} and is over. A new one opens by itself when it is needed.");
    }

    /// <summary>Until a vet's outcome nothing about the saddle is booked, postponed, done or dropped.</summary>
    private async Task RefuseBeforeVetAsync(WriteSession session, CheckRow check)
    {
        if (check.Kind is "fit" or "flocking" or "refit" && await VetFirstSigns.OpenAsync(session, check.HorseId, policy) is { Count: > 0 } signs)
            throw new ProblemException(ProblemKind.VetFirst, $"{check.HorseName} has an open vet-first sign ({string.Join(", ", signs)}). Stop, vet first: record the vet's outcome on the observation, then go on with this check.");
    }

    private static void RefuseByHand(CheckRow check)
    {
        if (check.Kind == "vet")
            throw new ProblemException(ProblemKind.VetFirst, "A vet check closes with the vet's outcome on what was seen.");
        if (check.Kind == "remeasure")
            throw new ProblemException(ProblemKind.Conflict, "A re-measure closes by itself when the measurement is recorded.");
    }

    private static void RefuseRole(CheckRow check, PersonRow person)
    {
        if (!Bookings.Suits(check.Kind, person.Role))
            throw ProblemException.Impossible("/fitterId", $"{person.Name} is a {person.Role}. This check is for {(check.Kind == "vet" ? "a vet" : "a fitter or saddler")}.");
    }

    // Whoever books for themselves need not say so; else it stays with the person it was booked with before.
    private static async Task<PersonRow?> ComerAsync(WriteSession session, CheckRow check, string? said, Caller caller)
    {
        if (said is null && caller.PersonId is { } own && await NamedPerson.RequireAsync(session, caller, own, "/fitterId") is var self && Bookings.Suits(check.Kind, self.Role))
            return self;
        var named = said ?? check.FitterId;
        if (named is null)
            return check.Kind is "remeasure" or "vet" ? null : throw ProblemException.Impossible("/fitterId", "Say who comes: fitterId is the id of a person.");
        var person = await NamedPerson.RequireAsync(session, caller, named, "/fitterId");
        RefuseRole(check, person);
        return person;
    }

    private async Task RecordAdjustmentsAsync(WriteSession session, CheckRow check, CompleteRequest request, Caller caller, string by)
    {
        if (request.Adjustments is not { Count: > 0 } adjustments)
            return;
        if (check.PairingId is null)
            throw ProblemException.Impossible("/adjustments", "This check is for the horse, not for a saddle. Record the change at the saddle.");
        var pairing = await PairingEndpoints.RequireAsync(session, caller, check.PairingId);
        var saddle = await SaddleEndpoints.RequireAsync(session, caller, pairing.SaddleId);
        foreach (var done in adjustments)
            await AdjustmentRecorder.RecordAsync(session, caller, saddle, done.ToAdjustment(request.On!.Value, by), check.Id, policy);
    }
}
