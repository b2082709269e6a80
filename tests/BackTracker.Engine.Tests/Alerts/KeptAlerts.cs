using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Alerts;

/// <summary>A horse with its alerts, kept as a store would.</summary>
internal sealed class KeptAlerts(HorseFacts facts, DateOnly today)
{
    private readonly List<AlertFact> _open = [];
    private int _made;

    public HorseFacts Facts { get; set; } = facts;

    public DateOnly Today { get; set; } = today;

    public string YardId { get; set; } = "yard";

    public IReadOnlyList<AlertFact> Open => _open;

    /// <summary>Assesses the horse, carries out what is decided about its checks and alerts, and returns the latter.</summary>
    public IReadOnlyList<AlertChange> Assess()
    {
        var assessment = Facts.Assess(Today);
        Facts = Facts.Apply(assessment);
        var changes = AlertLife.Decide(Facts, YardId, assessment, _open, Larkfield.Policy, new AlertPolicy());
        foreach (var change in changes)
            Carry(change);
        return changes;
    }

    /// <summary>What is decided when the same facts are looked at again.</summary>
    public IReadOnlyList<AlertChange> Again() => AlertLife.Decide(Facts, YardId, Facts.Assess(Today), _open, Larkfield.Policy, new AlertPolicy());

    public IReadOnlyList<Problem> Problems() => Engine.Alerts.Problems.Of(Facts, Facts.Assess(Today), _open, Larkfield.Policy);

    public void Acknowledge(string id) => Replace(id, alert => alert with { State = AlertState.Acknowledged, AcknowledgedOn = Today });

    private void Carry(AlertChange change)
    {
        switch (change)
        {
            case AlertChange.Raise raise:
                _open.Add(new AlertFact($"a{_made++}", YardId, AlertState.Raised, raise.Problem, raise.OverdueSince));
                break;
            case AlertChange.Refresh same:
                Replace(same.AlertId, alert => alert with { Problem = same.Problem, OverdueSince = same.OverdueSince });
                break;
            case AlertChange.Report report:
                Replace(report.AlertId, alert => alert with { Problem = report.Problem, OverdueSince = report.OverdueSince });
                break;
            case AlertChange.Reopen reopen:
                Replace(reopen.AlertId, alert => alert with { State = AlertState.Raised, AcknowledgedOn = null });
                break;
            case AlertChange.Settle settle:
                _open.RemoveAll(alert => alert.Id == settle.AlertId);
                break;
        }
    }

    private void Replace(string id, Func<AlertFact, AlertFact> with)
    {
        var index = _open.FindIndex(alert => alert.Id == id);
        _open[index] = with(_open[index]);
    }
}
