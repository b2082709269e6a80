using BackTracker.Engine.Checks;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Simulation;

/// <summary>
/// What an installation does: the horse is assessed, checks are opened, revised and dropped as decided, the yard measures on the day a re-measure is due
/// and books the fitter on the last day to book, no sooner than the fitter can come.
/// </summary>
/// <param name="name">What it is called in tables.</param>
/// <param name="policy">Limits and intervals.</param>
public sealed class PolicyWay(string name, CheckPolicy policy) : WayOfWorking
{
    /// <inheritdoc/>
    public override string Name => name;

    internal override DayByDay Begin(SimulatedLife life, SimulatedWorld world, TrendModel model) => new PolicyDays(life, world, policy, model);
}
