using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Visits;

/// <summary>What people do to a visit.</summary>
public enum VisitStep
{
    Complete,
    Add,
    Move,
    FallThrough,
}

/// <summary>Who may take a step.</summary>
internal static class VisitSteps
{
    /// <summary>The scopes of which a step needs one.</summary>
    public static Scope[] Needs(VisitStep step) => step == VisitStep.Complete ? [Scope.Fit] : [Scope.Manage, Scope.Fit];
}
