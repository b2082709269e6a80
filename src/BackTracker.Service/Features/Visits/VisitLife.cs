using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Visits;

namespace BackTracker.Service.Features.Visits;

/// <summary>The moves people make with visits. What may be done with a check is decided by <see cref="CheckLife"/>; a visit does it with all of its checks or with none.</summary>
internal sealed class VisitLife(Writes writes, CheckLife checks)
{
    private static readonly string[] OwnMembers = ["/on", "/by", "/fitterId"];

    public Task<IResult> PlanAsync(HttpContext http, VisitRequest request, Caller caller) => writes.RunAsync(http, request, async session =>
    {
        var yard = await YardEndpoints.RequireAsync(session, caller, request.YardId!);
        var named = request.FitterId ?? caller.PersonId ?? throw ProblemException.Impossible("/fitterId", "Say who comes: fitterId is the id of a person.");
        var fitter = await NamedPerson.RequireAsync(session, caller, named, "/fitterId");
        Bookings.RequireDay(yard, fitter, request.On!.Value, session.Now);
        var visit = new VisitRow
        {
            Id = session.NewId(),
            YardId = yard.Id,
            FitterId = fitter.Id,
            OnDay = Instants.WriteDay(request.On.Value),
            State = "planned",
            Note = request.Note,
            CreatedAt = session.NowText,
        };
        await VisitStore.AddAsync(session, visit);
        await BookAsync(session, visit, request.CheckIds!, caller);
        await AuditStore.NoteAsync(session, "create", "visit", visit.Id);
        var after = await AgainAsync(session, visit.Id);
        return Answer.Created($"/v1/visits/{visit.Id}", await VisitAnswer.OfAsync(session, after), after.Version);
    });

    public Task<IResult> AddAsync(HttpContext http, string id, AddToVisitRequest request, Caller caller) =>
        ChangeAsync(http, id, request, caller, "add", (session, visit, _) => BookAsync(session, visit, request.CheckIds!, caller));

    public Task<IResult> MoveAsync(HttpContext http, string id, MoveVisitRequest request, Caller caller) =>
        ChangeAsync(http, id, request, caller, "move", async (session, visit, onVisit) =>
        {
            var on = request.On!.Value;
            if (visit.OnDay == Instants.WriteDay(on))
                throw ProblemException.Impossible("/on", $"The visit is on {visit.OnDay} already. Name another day.");
            var fitter = await NamedPerson.RequireAsync(session, caller, visit.FitterId, "/fitterId");
            Bookings.RequireDay(await YardEndpoints.RequireAsync(session, caller, visit.YardId), fitter, on, session.Now);
            foreach (var check in onVisit.Where(IsBooked))
                await CheckLife.SaveAsync(session, await AdvisedAsync(
                    "Take it off the visit first (unbook), and the others can be moved.", () => checks.MoveAsync(session, check, on, request.Reason!)));
            await VisitStore.WriteAsync(session, visit with { OnDay = Instants.WriteDay(on) });
        });

    public Task<IResult> FallThroughAsync(HttpContext http, string id, ReasonRequest request, Caller caller) =>
        ChangeAsync(http, id, request, caller, "fall-through", async (session, visit, onVisit) =>
        {
            foreach (var check in onVisit.Where(IsBooked))
                await CheckLife.SaveAsync(session, CheckLife.Unbook(check, request));
            await VisitStore.WriteAsync(session, visit with { State = "fell-through", ClosingNote = request.Reason });
        });

    public Task<IResult> CompleteAsync(HttpContext http, string id, CompleteVisitRequest request, Caller caller) =>
        ChangeAsync(http, id, request, caller, "complete", async (session, visit, onVisit) =>
        {
            if (!onVisit.Any(check => IsBooked(check) || check.State == "done"))
                throw new ProblemException(ProblemKind.Conflict, "No check is on this visit any more. Report what was done at the checks themselves (POST /v1/checks/{id}/complete), and let the visit fall through.");
            var on = request.On!.Value;
            await Bookings.RequireTakenPlaceAsync(session, visit.YardId, on);
            var by = await NamedPerson.RequireAsync(session, caller, caller.Person(request.By ?? caller.PersonId ?? visit.FitterId, "/by"), "/by");
            var answered = Answered(request, onVisit);
            if (answered.TrueForAll(answer => answer.Said.NotDone is not null) && onVisit.All(check => check.State != "done"))
                throw new ProblemException(ProblemKind.Conflict, "Nothing was done on this visit. Let it fall through with the reason: POST /v1/visits/{id}/fall-through.");
            foreach (var (at, said, check) in answered)
                await AtAsync(at, async () => await CheckLife.SaveAsync(session, said.NotDone is { } why
                    ? CheckLife.Unbook(check, new ReasonRequest { Reason = why })
                    : await AdvisedAsync(
                        "Say of this one why it was not done (notDone), and the others of the visit can be reported.",
                        () => checks.CompleteAsync(session, check, said.Done(on, by.Id), caller))));
            await VisitStore.WriteAsync(session, visit with { State = "done", OnDay = Instants.WriteDay(on), DoneBy = by.Id, ClosingNote = request.Note });
        });

    /// <summary>Runs a move: finds the visit, insists on its version, takes it, and lets the move have its checks.</summary>
    private Task<IResult> ChangeAsync(
        HttpContext http, string id, object request, Caller caller, string action, Func<WriteSession, VisitRow, IReadOnlyList<CheckRow>, Task> move) =>
        writes.RunAsync(http, request, async session =>
        {
            var visit = await VisitEndpoints.RequireAsync(session, caller, id);
            Conditional.RequireMatch(http, visit.Version);
            if (visit.State != "planned")
                throw new ProblemException(ProblemKind.Conflict, $"The visit {(visit.State == "done" ? "is done" : "fell through")} and is over. Plan a new one: POST /v1/visits.");
            if (!await VisitStore.ClaimAsync(session, visit))
                throw ProblemException.Overtaken();
            await move(session, visit, await CheckStore.OfVisitsAsync(session, [visit.Id]));
            await AuditStore.NoteAsync(session, action, "visit", visit.Id);
            var after = await AgainAsync(session, visit.Id);
            return Answer.Ok(await VisitAnswer.OfAsync(session, after), after.Version);
        });

    private async Task BookAsync(WriteSession session, VisitRow visit, IReadOnlyList<string> checkIds, Caller caller)
    {
        var booking = new BookRequest { On = Instants.ReadDay(visit.OnDay), FitterId = visit.FitterId, VisitId = visit.Id };
        foreach (var (checkId, i) in checkIds.Select((checkId, i) => (checkId, i)))
            await AtAsync($"/checkIds/{i}", async () =>
            {
                var check = await CheckEndpoints.RequireAsync(session, caller, checkId);
                if (check.YardId != visit.YardId)
                    throw new ProblemException(ProblemKind.NotFound, $"There is no check {checkId} in the yard of this visit.");
                CheckLife.RefuseOver(check);
                await CheckLife.SaveAsync(session, await checks.BookAsync(session, check, booking, caller));
            });
    }

    /// <summary>Says of a check that stands in the way how the others go on without it.</summary>
    private static async Task<CheckStep> AdvisedAsync(string advice, Func<Task<CheckStep>> move)
    {
        try
        {
            return await move();
        }
        catch (ProblemException problem) when (problem.Kind == ProblemKind.VetFirst || problem.Kind == ProblemKind.Conflict)
        {
            throw new ProblemException(problem.Kind, $"{problem.Message} {advice}") { Errors = problem.Errors };
        }
    }

    /// <summary>What was said of each booked check, and where. One that is done already, because somebody measured meanwhile, needs no more.</summary>
    /// <exception cref="ProblemException">Something was said of another check, or nothing of one of these.</exception>
    private static List<(string At, VisitedCheck Said, CheckRow Check)> Answered(CompleteVisitRequest request, IReadOnlyList<CheckRow> onVisit)
    {
        var left = onVisit.Where(IsBooked).ToDictionary(check => check.Id);
        var done = onVisit.Where(check => check.State == "done").Select(check => check.Id).ToHashSet();
        var answered = new List<(string, VisitedCheck, CheckRow)>();
        foreach (var (said, i) in request.Checks!.Select((said, i) => (said, i)))
        {
            var id = Ids.Canonical(said.CheckId) ?? "";
            if (left.Remove(id, out var check))
                answered.Add(($"/checks/{i}", said, check));
            else if (!done.Remove(id))
                throw ProblemException.Impossible($"/checks/{i}/checkId", $"The check {said.CheckId} is not booked for this visit, or stands here twice.");
            else if (said.Findings is { Count: > 0 } || said.Adjustments is { Count: > 0 })
                throw ProblemException.Impossible($"/checks/{i}", "It is done already, with what was reported then. Leave it out, or say nothing more of it.");
        }
        return left.Count == 0
            ? answered
            : throw ProblemException.Impossible("/checks", $"Say of every check what was done, or why not (notDone). Missing: {string.Join(", ", left.Values.Select(check => $"{check.HorseName} ({check.Id})"))}.");
    }

    /// <summary>Names the check that stands in the way.</summary>
    private static async Task AtAsync(string entry, Func<Task> move)
    {
        try
        {
            await move();
        }
        catch (ProblemException problem)
        {
            throw problem.Within(entry, OwnMembers);
        }
    }

    private static bool IsBooked(CheckRow check) => check.State == "booked";

    private static async Task<VisitRow> AgainAsync(ReadSession session, string id) => (await VisitStore.FindAsync(session, Sight.All, id))!;
}
