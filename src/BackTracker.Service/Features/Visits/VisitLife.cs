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
                await CheckLife.SaveAsync(session, await checks.MoveAsync(session, check, on, request.Reason!));
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
                throw new ProblemException(ProblemKind.Conflict, "No check is on this visit any more. Let it fall through, or add the checks that were done.");
            var on = request.On!.Value;
            await Bookings.RequireTakenPlaceAsync(session, visit.YardId, on);
            var by = await NamedPerson.RequireAsync(session, caller, caller.Person(request.By ?? caller.PersonId ?? visit.FitterId, "/by"), "/by");
            foreach (var ((said, check), i) in Answered(request, [.. onVisit.Where(IsBooked)]).Select((pair, i) => (pair, i)))
                await AtAsync($"/checks/{i}", async () => await CheckLife.SaveAsync(session, said.NotDone is { } why
                    ? CheckLife.Unbook(check, new ReasonRequest { Reason = why })
                    : await DoneAsync(session, check, said.Done(on, by.Id), caller)));
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

    private async Task<CheckStep> DoneAsync(WriteSession session, CheckRow check, CompleteRequest done, Caller caller)
    {
        try
        {
            return await checks.CompleteAsync(session, check, done, caller);
        }
        catch (ProblemException problem) when (problem.Kind == ProblemKind.VetFirst)
        {
            throw new ProblemException(problem.Kind, $"{problem.Message} Say of this one why it was not done (notDone), and the others of the visit can be reported.");
        }
    }

    /// <summary>What was said of each booked check.</summary>
    /// <exception cref="ProblemException">Something was said of another check, or nothing of one of these.</exception>
    private static List<(VisitedCheck Said, CheckRow Check)> Answered(CompleteVisitRequest request, List<CheckRow> booked)
    {
        var left = booked.ToDictionary(check => check.Id);
        var answered = new List<(VisitedCheck, CheckRow)>();
        foreach (var (said, i) in request.Checks!.Select((said, i) => (said, i)))
            answered.Add(left.Remove(Ids.Canonical(said.CheckId) ?? "", out var check)
                ? (said, check)
                : throw ProblemException.Impossible($"/checks/{i}/checkId", $"The check {said.CheckId} is not booked for this visit, or stands here twice."));
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
