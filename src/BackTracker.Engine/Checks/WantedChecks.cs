using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

internal static class WantedChecks
{
    public static IReadOnlyList<WantedCheck> Of(Situation situation) => [];
}
internal static class Reconciliation
{
    public static IReadOnlyList<CheckDecision> Decide(Situation situation, IReadOnlyList<WantedCheck> wanted) => [];
}
internal sealed class WorkCalendar
{
    public static WorkCalendar Of(HorseFacts facts, CheckPolicy policy) => new();
}
