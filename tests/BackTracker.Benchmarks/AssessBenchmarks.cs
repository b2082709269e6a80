using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;
using BenchmarkDotNet.Attributes;

namespace BackTracker.Benchmarks;

/// <summary>
/// What the decisions cost: a horse measured by traces at three stations in 24 sessions of two repeats, with marks, and two saddles known by
/// their sides. One thread.
/// </summary>
[MemoryDiagnoser]
public class AssessBenchmarks
{
    private static readonly DateOnly Today = Larkfield.Today;
    private static readonly DateOnly Last = Today.AddDays(365);

    private readonly HorseFacts horse = TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, .8 * i, asymmetryPct: 3, dipMm: 18 + (.2 * i)), sessions: 24) with
    {
        Pairings = [TracedHorse.Pairing("a"), TracedHorse.Pairing("b", 3)],
    };

    private readonly HorseFacts withOne;

    /// <summary>The horse with the first of its saddles alone.</summary>
    public AssessBenchmarks() => withOne = horse with { Pairings = [horse.Pairings[0]] };

    /// <summary>Everything: trends, both saddles laid, their forecasts, and the checks.</summary>
    [Benchmark(Baseline = true)]
    public double Assess() => HorseAssessment.Assess(horse, Larkfield.Policy, TrendModel.Shipped, Today).Pairings[0].Outlook!.OutToday;

    /// <summary>The same where one saddle is ridden.</summary>
    [Benchmark]
    public double AssessOneSaddle() => HorseAssessment.Assess(withOne, Larkfield.Policy, TrendModel.Shipped, Today).Pairings[0].Outlook!.OutToday;

    /// <summary>The trends of the back alone: width at five depths, left against right at two, and the dip.</summary>
    [Benchmark]
    public double Trends() => new HorseTrends(horse, TrendModel.Shipped).Back.On(Today).Means[0];

    /// <summary>One saddle laid on the back of a year to come, its findings, and their risk on and by each day; trends included.</summary>
    [Benchmark]
    public double FitAndForecast()
    {
        var fit = new PairingFit(horse.Pairings[0], new HorseTrends(horse, TrendModel.Shipped), new CheckPolicy(), Today, (Today, Last));
        return PairingForecast.TryMake(fit, Last, out var forecast) ? forecast.At(Last).OutBy : double.NaN;
    }

    /// <summary>The same without its risk: what following it along the paths of the back costs is the difference.</summary>
    [Benchmark]
    public double FitAlone() => new PairingFit(horse.Pairings[0], new HorseTrends(horse, TrendModel.Shipped), new CheckPolicy(), Today, (Today, Last)).On(Today)[0].Numbers!.Value.Value;
}
