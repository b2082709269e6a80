using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Simulation;

/// <summary>What became of a saddle made to measure.</summary>
/// <param name="FitsOnDelivery">Whether it truly was in tolerance on the day it came home.</param>
/// <param name="DaysInTolerance">Days from delivery until it first truly was out, up to <see cref="MadeToMeasureStudy.FollowedDays"/>.</param>
public readonly record struct MadeSaddle(bool FitsOnDelivery, int DaysInTolerance);

/// <summary>A saddle for a simulated horse, made twice.</summary>
/// <param name="Class">What the horse did.</param>
/// <param name="AsMeasured">Cut to the back as the trend had it on the day of the template.</param>
/// <param name="AsExpected">Cut by <see cref="DeliveryOutlook.Best"/>: so that it fits longest from delivery on.</param>
public readonly record struct MadeTwice(SimulatedClass Class, MadeSaddle AsMeasured, MadeSaddle AsExpected);

/// <summary>
/// Saddles made to measure for simulated horses: measured every four weeks for a year, cut by the last template, sixteen weeks in the making.
/// Nobody sets them again: how long they last is what is asked.
/// </summary>
public static class MadeToMeasureStudy
{
    private const int EveryDays = 28;
    private const int TemplateDay = 13 * EveryDays;
    private const int MakingDays = 112;

    /// <summary>Days a saddle is followed from delivery on.</summary>
    public const int FollowedDays = 365;

    /// <summary>Days of life a horse needs.</summary>
    public static int LifeDays => TemplateDay + MakingDays + FollowedDays + 1;

    /// <summary>A horse's saddle, made both ways.</summary>
    /// <param name="horse">The horse.</param>
    /// <param name="world">The tolerance, and to what a tree can be cut.</param>
    /// <param name="policy">Settings.</param>
    /// <param name="model">Trend model and its priors.</param>
    public static MadeTwice Of(SimulatedHorse horse, SimulatedWorld world, CheckPolicy policy, TrendModel model)
    {
        ArgumentNullException.ThrowIfNull(horse);
        ArgumentNullException.ThrowIfNull(world);
        var (today, delivery) = (SimulatedHorse.Date(TemplateDay), SimulatedHorse.Date(TemplateDay + MakingDays));
        var facts = horse.Facts with { Sessions = [.. Enumerable.Range(0, (TemplateDay / EveryDays) + 1).Select(i => horse.SessionOn(i * EveryDays))] };
        var trends = new HorseTrends(facts.AsOf(today), model);
        var measured = trends.TryGet(SimulatedHorse.Measured, out var trend) ? trend.On(today).Mean : throw new InvalidOperationException("It was measured.");
        var best = new DeliveryOutlook(Ordered(measured, world), trends, policy, today, delivery).Best();
        // Opened on both sides.
        return new MadeTwice(horse.Class, Made(horse, measured, world), Made(horse, measured + (2 * best!.Value.OpenMm), world));
    }

    private static PairingFact Ordered(double widthMm, SimulatedWorld world) => new(
        "pairing", "saddle", "the saddle", SimulatedHorse.FirstDay, null, null,
        [new TreeShapeFact("ordered", SimulatedHorse.FirstDay, [new TreeWidth(SimulatedHorse.Measured.Station!.Value, widthMm)])], [],
        new FitTolerances(new Dictionary<Measure, Limits> { [Measure.Width150] = Limits.Either(world.BandMm / 2, world.BandMm) }), new Dictionary<string, Severity>())
    {
        Tree = TreeKind.Rigid,
        Filling = Filling.Foam,
    };

    private static MadeSaddle Made(SimulatedHorse horse, double widthMm, SimulatedWorld world)
    {
        var tree = widthMm + horse.TreeOffMm(TemplateDay, world.TreeSdMm);
        var days = Enumerable.Range(0, FollowedDays).TakeWhile(day => Math.Abs(horse.WidthsMm[TemplateDay + MakingDays + day] - tree) <= world.BandMm).Count();
        return new MadeSaddle(days > 0, days);
    }
}
