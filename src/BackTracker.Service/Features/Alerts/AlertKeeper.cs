using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Alerts;

/// <summary>Keeps the alerts of assessed horses up to date in the transaction of their assessments, and tells at once what is urgent.</summary>
/// <param name="session">The transaction.</param>
/// <param name="alerts">Settings of the alerts.</param>
internal sealed class AlertKeeper(WriteSession session, AlertPolicy alerts)
{
    private readonly SortedDictionary<string, List<string>> _touched = new(StringComparer.Ordinal);

    /// <summary>Raises, changes and settles the alerts of a horse once its checks are as the assessment decided.</summary>
    public async Task KeepAsync(LoadedHorse loaded, Assessment assessment)
    {
        var facts = loaded.Facts;
        if (assessment.Decisions.Count > 0)
            facts = facts with { Checks = [.. (await CheckStore.OfHorseAsync(session, facts.HorseId)).Select(CheckMapping.ToFact)] };
        var open = (await AlertStore.OpenOfHorseAsync(session, facts.HorseId)).ToDictionary(alert => alert.Id);
        var yardId = loaded.Inputs.Yard.Id;
        foreach (var change in AlertLife.Decide(facts, yardId, assessment, [.. open.Values.Select(alert => AlertMapping.ToFact(alert, loaded.TimeZone))], loaded.Policy, alerts))
        {
            if (change is AlertChange.Raise raise)
                await RaiseAsync(raise, facts.HorseId, yardId, assessment.Today);
            else
                await ChangeAsync(change, open);
        }
    }

    /// <summary>Tells of every alert that was touched.</summary>
    public async Task TellAsync()
    {
        foreach (var (yardId, ids) in _touched)
        {
            var yard = (await YardStore.FindAsync(session, Sight.All, yardId))!;
            await new AlertTeller(session, yard, alerts).TellAsync(await AlertStore.ByIdAsync(session, ids), TellOccasion.AtOnce);
        }
    }

    private async Task RaiseAsync(AlertChange.Raise raise, string horseId, string yardId, DateOnly today)
    {
        var alert = new AlertRow
        {
            Id = session.NewId(),
            YardId = yardId,
            HorseId = horseId,
            State = Words.Write(AlertState.Raised),
            News = Words.Write(AlertNews.Raised),
            ChangeNo = 1,
            Waits = Words.Write(Waits.Nobody),
            RaisedOn = Instants.WriteDay(today),
            CreatedAt = session.NowText,
        }.With(raise.Problem, raise.OverdueSince);
        await TouchAsync(alert);
        await AlertStore.AddAsync(session, alert);
        await AlertStore.NoteStepAsync(session, alert.Id, alert.News, alert.Text);
        await TellProgramsAsync(raise.Problem);
    }

    // A booked check is not moved, so that nothing else would tell programs that it ought to be.
    private async Task TellProgramsAsync(Problem problem)
    {
        if (problem.Key.Concern == Concern.Booking)
            await CheckEvents.AddOvertakenAsync(session, (await CheckStore.FindAsync(session, Sight.All, problem.CheckId!))!, problem);
    }

    private async Task ChangeAsync(AlertChange change, Dictionary<string, AlertRow> open)
    {
        switch (change)
        {
            case AlertChange.Refresh same:
                await TouchAsync(open[same.AlertId]);
                await AlertStore.ChangeAsync(session, open[same.AlertId].With(same.Problem, same.OverdueSince));
                break;
            case AlertChange.Report report:
                var alert = open[report.AlertId].With(report.Problem, report.OverdueSince);
                await TouchAsync(alert);
                await AlertStore.ChangeAsync(session, alert with { News = Words.Write(report.News), ChangeNo = alert.ChangeNo + 1 });
                await AlertStore.NoteStepAsync(session, alert.Id, Words.Write(report.News), report.Note);
                if (report.News == AlertNews.Changed)
                    await TellProgramsAsync(report.Problem);
                break;
            case AlertChange.Reopen reopen:
                await TouchAsync(open[reopen.AlertId]);
                await AlertStore.ReopenAsync(session, reopen.AlertId);
                break;
            case AlertChange.Settle settle:
                await TouchAsync(open[settle.AlertId]);
                await AlertStore.SettleAsync(session, open[settle.AlertId], settle.Why);
                await AlertStore.NoteStepAsync(session, settle.AlertId, Words.Write(AlertNews.Settled), settle.Why);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(change), change, "An unknown kind of change.");
        }
    }

    // The yard is held before its first alert is written, so that whoever tells of it meanwhile waits and does not lock up with this.
    private async Task TouchAsync(AlertRow alert)
    {
        if (!_touched.TryGetValue(alert.YardId, out var ids))
        {
            _touched[alert.YardId] = ids = [];
            await YardStore.HoldAsync(session, alert.YardId);
        }
        if (!ids.Contains(alert.Id))
            ids.Add(alert.Id);
    }
}
