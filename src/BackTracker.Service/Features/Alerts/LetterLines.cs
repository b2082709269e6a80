using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;

namespace BackTracker.Service.Features.Alerts;

/// <summary>Alerts as the lines of a letter.</summary>
internal static class LetterLines
{
    /// <summary>The lines, vet-first signs first, then by urgency and day; what has settled comes last.</summary>
    public static IReadOnlyList<LetterLine> Of(IEnumerable<(AlertRow Alert, AlertNews News)> told) =>
    [
        .. told.Select(one => LineOf(one.Alert, one.News))
            .OrderBy(line => line.News == AlertNews.Settled)
            .ThenByDescending(line => line.Cause == Cause.VetFirst)
            .ThenByDescending(line => line.Urgency)
            .ThenBy(line => line.DueOn)
            .ThenBy(line => line.HorseName, StringComparer.Ordinal)
            .ThenBy(line => line.AlertId, StringComparer.Ordinal),
    ];

    private static LetterLine LineOf(AlertRow alert, AlertNews news)
    {
        var cause = Words.Read<Cause>(alert.Cause);
        // What had to be done then is not said again once it has gone.
        var text = news == AlertNews.Settled ? $"{Engine.Words.Sentence(AlertWords.Of(cause))}: {alert.SettledWhy}" : alert.Text;
        return new LetterLine(
            alert.Id, news, Words.Read<Urgency>(alert.Urgency), cause, alert.HorseId, alert.HorseName, alert.PairingId, alert.SaddleLabel,
            alert.CheckId, AlertMapping.KindOf(alert), text, Instants.ReadDay(alert.BookBy), Instants.ReadDay(alert.DueOn), Instants.ReadDayIfAny(alert.BookedOn))
        {
            CommissionId = alert.CommissionId,
        };
    }
}
