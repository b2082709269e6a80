using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Sessions;
using Problem = BackTracker.Engine.Alerts.Problem;

namespace BackTracker.Service.Features.Checks;

/// <summary>What receivers are told of a check.</summary>
/// <param name="CheckId">The check.</param>
/// <param name="Version">Its version then.</param>
/// <param name="Link">Where to read it.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="PairingId">The pairing; null for a re-measure or a vet.</param>
/// <param name="Kind">What is to be done.</param>
/// <param name="State">Where it stands.</param>
/// <param name="Urgency">How soon.</param>
/// <param name="BookBy">Last day to book.</param>
/// <param name="DueOn">The day it is due; of a booking that has become too late, the day by which it is wanted now.</param>
/// <param name="BookedOn">Day of the visit; null where nobody is booked.</param>
internal sealed record CheckData(
    string CheckId, long Version, string Link, string HorseId, string? PairingId, CheckKind Kind, CheckState State, Urgency Urgency,
    DateOnly BookBy, DateOnly DueOn, DateOnly? BookedOn);

/// <summary>Tells of checks.</summary>
internal static class CheckEvents
{
    /// <summary>Tells of a check as it is to be written or was just written.</summary>
    /// <param name="session">The transaction of the change.</param>
    /// <param name="type">One of <see cref="EventTypes"/>.</param>
    /// <param name="check">The check after the change.</param>
    /// <param name="version">Its version after the change.</param>
    public static Task AddAsync(WriteSession session, string type, CheckRow check, long version) =>
        AddAsync(session, type, check, version, CheckMapping.DaysOf(check));

    /// <summary>Tells that a booking has become too late. A booked check keeps its days; this says by when it is wanted now.</summary>
    public static Task AddOvertakenAsync(WriteSession session, CheckRow check, Problem problem) => AddAsync(
        session, EventTypes.CheckMoved, check, check.Version,
        CheckMapping.DaysOf(check) with { Urgency = problem.Urgency, BookBy = problem.BookBy, DueOn = problem.DueOn });

    /// <summary>The event of a step that a person made.</summary>
    public static string TypeOf(CheckStep step) => step.Check.State switch
    {
        "booked" => EventTypes.CheckBooked,
        "open" => EventTypes.CheckMoved,
        _ => EventTypes.CheckClosed,
    };

    /// <summary>
    /// Tells of checks whose day has come or passed, once for each due day: that it was told is kept with the check, so that a second
    /// look tells nothing and a look after days of downtime tells everything, in order and with the true day.
    /// </summary>
    public static async Task AddDueAsync(WriteSession session, string horseId, DateOnly today)
    {
        var day = Instants.WriteDay(today);
        foreach (var check in await CheckStore.AliveOfHorseAsync(session, horseId))
        {
            var told = check;
            if (!IsBefore(day, check.DueOn) && IsBefore(check.DueToldFor, check.DueOn))
            {
                await AddAsync(session, EventTypes.CheckDue, check, check.Version);
                told = told with { DueToldFor = check.DueOn };
            }
            if (IsBefore(check.DueOn, day) && IsBefore(check.OverdueToldFor, check.DueOn))
            {
                await AddAsync(session, EventTypes.CheckOverdue, check, check.Version);
                told = told with { OverdueToldFor = check.DueOn };
            }
            if (told != check)
                await CheckStore.RememberToldAsync(session, told);
        }
    }

    private static Task AddAsync(WriteSession session, string type, CheckRow check, long version, CheckDays days) =>
        Events.AddAsync(session, type, check.YardId, check.HorseId, new CheckData(
            check.Id, version, $"/v1/checks/{check.Id}", check.HorseId, check.PairingId, Words.Read<CheckKind>(check.Kind),
            Words.Read<CheckState>(check.State), days.Urgency, days.BookBy, days.DueOn, Instants.ReadDayIfAny(check.BookedOn)));

    private static bool IsBefore(string day, string other) => string.CompareOrdinal(day, other) < 0;
}
