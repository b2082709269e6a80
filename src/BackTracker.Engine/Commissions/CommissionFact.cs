using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Commissions;

/// <summary>A stage that was reached.</summary>
/// <param name="Stage">Which.</param>
/// <param name="On">Its day.</param>
public readonly record struct StageFact(CommissionStage Stage, DateOnly On);

/// <summary>A saddle that is being made for the horse.</summary>
/// <param name="Id">Id of the stored commission.</param>
/// <param name="DeliveryOn">The day it is to come home.</param>
/// <param name="Steps">Every stage it reached, in order; the order itself is the first.</param>
/// <param name="Planned">The saddle on the horse with the tree that was ordered and its planned panel.</param>
/// <param name="Measured">Every shape that was measured of its tree, in order of day.</param>
public sealed record CommissionFact(
    string Id, DateOnly DeliveryOn, IReadOnlyList<StageFact> Steps, PairingFact Planned, IReadOnlyList<TreeShapeFact> Measured)
{
    /// <summary>Where it stands.</summary>
    public CommissionStage Stage => Steps[^1].Stage;

    /// <summary>The tree as it was measured last since it was cut; null where nobody has.</summary>
    public TreeShapeFact? Came => Steps.LastOrDefault(step => step.Stage == CommissionStage.TreeCut) is { Stage: CommissionStage.TreeCut } cut
        ? Measured.LastOrDefault(shape => shape.From >= cut.On)
        : null;

    /// <summary>The saddle on the horse with the tree as it came where that is known, and its planned panel.</summary>
    public PairingFact Laid => Came is { } came
        ? Planned with { From = came.From, TreeShapes = [came with { PanelMm = Planned.TreeShapes[0].PanelMm }] }
        : Planned;

    /// <summary>The commission as it was known on a day, no earlier than that of the order.</summary>
    public CommissionFact AsOf(DateOnly day) => this with
    {
        Steps = [.. Steps.Where(step => step.On <= day)],
        Measured = [.. Measured.Where(shape => shape.From <= day)],
    };
}
