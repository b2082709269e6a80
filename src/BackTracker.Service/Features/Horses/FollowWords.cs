using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Horses;

/// <summary>What scheduling makes of an event or a phase, one plain sentence each.</summary>
internal static class FollowWords
{
    public static string Name(EventKind kind) => Engine.Words.Sentence(HistoryWords.Plain(Words.Write(kind)));

    public static string Name(Phase phase) => Engine.Words.Sentence(HistoryWords.Plain(Words.Write(phase)));

    public static string Of(EventKind kind, CheckPolicy policy) => kind switch
    {
        EventKind.StartOfWork => $"It counts as ridden again; measure again {Span(policy.EventFollowUpDays)} after, and before it where it is planned; after {Span(policy.LayOffDays)} off or more the fit is checked before the first ride.",
        EventKind.LayOff or EventKind.Illness or EventKind.Injury => $"It counts as not ridden until work starts or a working phase begins; measure again {Span(policy.EventFollowUpDays)} after.",
        EventKind.NewSaddle => $"Measure again {Span(policy.EventFollowUpDays)} after.",
        _ => "Kept as a day on which the back may have begun to move differently; no check follows.",
    };

    public static string Of(Phase phase, CheckPolicy policy) => phase == Phase.Rest
        ? $"Measured every {Span(policy.MeasureDays(phase))}; not ridden, so no fit check falls due."
        : $"Measured every {Span(policy.MeasureDays(phase))}, fit checked every {Span(policy.FitWeeks(phase) * 7)} of riding where its measurements do not watch it.";

    private static string Span(int days) => (days % 7, days / 7) switch
    {
        (0, 1) => "week",
        (0, var weeks) => $"{weeks} weeks",
        _ => $"{days} days",
    };
}
