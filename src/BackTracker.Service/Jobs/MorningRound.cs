using BackTracker.Engine.Alerts;
using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Features.Yards;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Jobs;

/// <summary>When a yard's night has ended, tells what was urgent and had to wait for that.</summary>
internal sealed class MorningRound(Database database, TimeProvider clock, AlertPolicy policy, EachYard each)
{
    /// <summary>Tells in every yard where somebody waits and whose night has ended; returns how many there were.</summary>
    public async Task<int> RunAsync(CancellationToken cancel)
    {
        IReadOnlyList<string> waiting;
        await using (var session = await database.ReadAsync(cancel))
            waiting = await AlertStore.YardsWaitingForMorningAsync(session);
        return await each.DoAsync(waiting, yardId => yardId, yardId => database.ChangeAsync("morning", session => TellAsync(session, yardId), cancel));
    }

    private async Task<int> TellAsync(WriteSession session, string yardId)
    {
        await YardStore.HoldAsync(session, yardId);
        var yard = (await YardStore.FindAsync(session, Sight.All, yardId))!;
        if (policy.IsNight(TimeOnly.FromDateTime(YardTime.Local(yard.TimeZone, clock.GetUtcNow()))))
            return 0;
        var alerts = (await AlertStore.ToTellInYardAsync(session, yardId)).Where(alert => alert.Waits == Http.Words.Write(Waits.Morning));
        await new AlertTeller(session, yard, policy).TellAsync([.. alerts], TellOccasion.AtOnce);
        return 1;
    }
}
