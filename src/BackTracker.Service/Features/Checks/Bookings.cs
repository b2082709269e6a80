using BackTracker.Engine.Visits;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Visits;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Checks;

/// <summary>On which days, by whom and as part of which visit a check can be booked.</summary>
internal static class Bookings
{
    private const int LongestDaysAhead = 366;
    private const int DaysOffered = 3;

    /// <summary>A saddle is looked at by a fitter or saddler, a vet check is a vet's; anybody may measure.</summary>
    public static bool Suits(string kind, string role) => kind switch
    {
        "vet" => role == "vet",
        "remeasure" => true,
        _ => role is "fitter" or "saddler",
    };

    /// <summary>When somebody can come to a yard; where nobody is named, on every day it is open.</summary>
    public static VisitDays Days(YardRow yard, PersonRow? person) =>
        new(ClosedDays.Of(yard), person is null ? [] : Json.Read<DayOfWeek[]>(person.WorkingDays));

    /// <exception cref="ProblemException">Nobody comes on that day: it is past or too far off, the yard is closed, or the person does not work.</exception>
    public static void RequireDay(YardRow yard, PersonRow? person, DateOnly on, DateTimeOffset now)
    {
        var today = YardTime.Day(yard.TimeZone, now);
        if (on < today)
            throw ProblemException.Impossible("/on", "A visit is booked for today or a later day. To report one that took place, complete the check.");
        if (on > today.AddDays(LongestDaysAhead))
            throw ProblemException.Impossible("/on", "A visit is booked within the next year. Look at the year.");
        var days = Days(yard, person);
        if (!days.IsOpen(on))
            throw ProblemException.Impossible("/on", $"{yard.Name} is closed on {Instants.WriteDay(on)}. {Next(days, on)}");
        if (!days.IsWorked(on))
            throw ProblemException.Impossible("/on", $"{person!.Name} does not work on a {on.DayOfWeek}. {Next(days, on)}");
    }

    /// <exception cref="ProblemException">The day is still to come in the yard.</exception>
    public static async Task RequireTakenPlaceAsync(WriteSession session, string yardId, DateOnly on)
    {
        if (on > await YardTime.TodayAsync(session, yardId, session.Now))
            throw ProblemException.Impossible("/on", "What has not taken place yet cannot be reported as done. Book it instead.");
    }

    /// <summary>The visit a check is to join, taken for this change.</summary>
    /// <exception cref="ProblemException">There is none such, it is over, or it is to another yard or on another day.</exception>
    public static async Task<VisitRow> JoinAsync(WriteSession session, Caller caller, CheckRow check, BookRequest request)
    {
        var visit = await VisitStore.FindAsync(session, caller.Sight, Ids.Canonical(request.VisitId) ?? "");
        if (visit?.YardId != check.YardId)
            throw ProblemException.Impossible("/visitId", $"There is no visit {request.VisitId} to the yard of this check. Plan it first: POST /v1/visits.");
        if (visit.State != "planned")
            throw new ProblemException(ProblemKind.Conflict, "The visit is over. Plan a new one: POST /v1/visits.");
        if (visit.OnDay != Instants.WriteDay(request.On!.Value))
            throw ProblemException.Impossible("/on", $"The visit is on {visit.OnDay}. Book the check for that day, or move the visit.");
        return await VisitStore.ClaimAsync(session, visit) ? visit : throw ProblemException.Overtaken();
    }

    private static string Next(VisitDays days, DateOnly after)
    {
        var next = days.Between(after.AddDays(1), after.AddDays(LongestDaysAhead)).Take(DaysOffered).Select(Instants.WriteDay).ToList();
        return next.Count == 0
            ? "No day within a year after it is possible: look at the yard's closed days and the working days."
            : $"Next possible: {string.Join(", ", next)}.";
    }
}
