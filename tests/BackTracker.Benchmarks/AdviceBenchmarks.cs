using BackTracker.Engine.Advice;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;
using BenchmarkDotNet.Attributes;

namespace BackTracker.Benchmarks;

/// <summary>What the searches cost: the horse of <see cref="AssessBenchmarks"/> with one saddle. One thread.</summary>
[MemoryDiagnoser]
public class AdviceBenchmarks
{
    private static readonly CheckPolicy Policy = new();
    private readonly PairingFact pairing;
    private readonly HorseTrends trends;

    /// <summary>Trends are made once: both searches begin with them.</summary>
    public AdviceBenchmarks()
    {
        var horse = TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, .8 * i, asymmetryPct: 3, dipMm: 18 + (.2 * i)), sessions: 24);
        (pairing, trends) = (TracedHorse.Pairing("a"), new HorseTrends(horse, TrendModel.Shipped));
    }

    /// <summary>What can be done at the panel.</summary>
    [Benchmark]
    public double AtThePanel() => Adviser.Of(pairing, trends, Policy, Larkfield.Today).GainDays;

    /// <summary>How a tree is best cut that comes in ten weeks.</summary>
    [Benchmark]
    public double BestCut() => new DeliveryOutlook(pairing, trends, Policy, Larkfield.Today, Larkfield.Today.AddDays(70)).Best()!.Value.ProbabilityFitsOnDelivery;
}
