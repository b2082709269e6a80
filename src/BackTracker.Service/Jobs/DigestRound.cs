using BackTracker.Engine.Alerts;
using BackTracker.Service.Delivery;
using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Features.Yards;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Jobs;

/// <summary>
/// Once a day, from 07:00 on the yard's own clock and once its horses have been assessed that night, the daily letter of each receiver is
/// written, and on Mondays the week of those who are booked. The day that was done is stored with the yard: a change of daylight saving,
/// days of downtime or a clock set back neither lose nor double a day. What was missed until the night waits for the next morning.
/// </summary>
internal sealed class DigestRound(Database database, TimeProvider clock, AlertPolicy policy, EachYard each)
{
    /// <summary>Writes the letters of the yards whose time has come; returns how many yards there were.</summary>
    public async Task<int> RunAsync(CancellationToken cancel)
    {
        IReadOnlyList<YardRow> yards;
        await using (var session = await database.ReadAsync(cancel))
            yards = await YardStore.AllAsync(session);
        return await each.DoAsync(yards, yard => yard.Id, async yard =>
            IsDue(yard) && !await IsBeingAssessedAsync(yard, cancel) ? await database.ChangeAsync("digest", session => WriteAsync(session, yard), cancel) : 0);
    }

    private async Task<bool> IsBeingAssessedAsync(YardRow yard, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return (await WorkQueueStore.OfYardAsync(session, yard.Id, clock.GetUtcNow())).Waiting > 0;
    }

    private async Task<int> WriteAsync(WriteSession session, YardRow yard)
    {
        var today = DayOf(yard, session.Now);
        if (!await YardStore.NoteDigestAsync(session, yard.Id, today)) // Which holds the yard, too.
            return 0;
        var teller = new AlertTeller(session, yard, policy);
        await teller.TellAsync(await AlertStore.ToTellInYardAsync(session, yard.Id), TellOccasion.Digest);
        var last = LastDay(yard);
        if (last < today.AddDays(-DaysSinceMonday(today)) || last > today)
        {
            foreach (var (receiverId, visits) in await FittersWeek.OfYardAsync(session, yard.Id, today))
                await teller.WriteAsync(receiverId, "week", new Letter(yard.Name, today, [], visits));
        }
        return 1;
    }

    private bool IsDue(YardRow yard)
    {
        var now = clock.GetUtcNow();
        var today = DayOf(yard, now);
        return !RoundDays.IsDone(LastDay(yard), today)
            && policy.IsLetterTime(TimeOnly.FromDateTime(YardTime.Local(yard.TimeZone, now)))
            && yard.NightlyOn is { } night && Instants.ReadDay(night) >= today;
    }

    /// <summary>The day whose letter was written last; a new yard begins with the first morning after it was registered.</summary>
    private DateOnly LastDay(YardRow yard) => Instants.ReadDayIfAny(yard.DigestOn) ?? DayOf(yard, Instants.Read(yard.CreatedAt));

    /// <summary>The day whose letter is due: yesterday's until 07:00.</summary>
    private DateOnly DayOf(YardRow yard, DateTimeOffset instant)
    {
        var local = YardTime.Local(yard.TimeZone, instant);
        var day = DateOnly.FromDateTime(local);
        return TimeOnly.FromDateTime(local) >= policy.DigestAt ? day : day.AddDays(-1);
    }

    private static int DaysSinceMonday(DateOnly day) => ((int)day.DayOfWeek + 6) % 7;
}
