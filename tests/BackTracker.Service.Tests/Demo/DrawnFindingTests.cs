using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Assessments;

namespace BackTracker.Service.Tests.Demo;

/// <summary>
/// The engine takes the straight line that comes closest to a finding over all backs that may be. Here whole backs are drawn instead and the saddle is laid on each.
/// </summary>
[Collection(DemoReaders.Name)]
public sealed class DrawnFindingTests(FilledDemo demo, ITestOutputHelper output)
{
    private const int Draws = 2000;
    private const double Allowed = .03;
    private static readonly CheckPolicy Policy = new();
    private static readonly double[] TreeErrors = [.. Enumerable.Range(0, 32).Select(i => Normal.Quantile((i + .5) / 32))];

    [Fact]
    public async Task ProbabilityOut_ofLaidFindings_isThatOfBacksDrawnWhole()
    {
        var apart = new List<(string What, Measure Measure, double Said, double Drawn)>();
        foreach (var (horse, trends, pairing) in await PairingsAsync())
        {
            var fit = new PairingFit(pairing, trends, Policy, FilledDemo.Today, (FilledDemo.Today, FilledDemo.Today.AddDays(Policy.HorizonDays)));
            if (!fit.IsLaid)
                continue;
            foreach (var ahead in new[] { 0, 84 })
            {
                var day = FilledDemo.Today.AddDays(ahead);
                var drawn = new DrawnSaddle(trends.Back, pairing, FilledDemo.Today).On(day, Draws);
                apart.AddRange(fit.On(day).Where(finding => finding.Numbers is not null && DrawnSaddle.IsLaid(finding.Key.Measure))
                    .Select(finding => ($"{horse} {finding.Key} in {ahead} days, {finding.Numbers!.Value.Value:0.0} +- {finding.Numbers.Value.Sd:0.0}, drawn {Mean(drawn[finding.Key]):0.0} +- {Sd(drawn[finding.Key]):0.0}",
                        finding.Key.Measure, finding.Numbers.Value.ProbabilityLow + finding.Numbers.Value.ProbabilityHigh, ShareOut(drawn[finding.Key], finding))));
            }
        }
        foreach (var worst in apart.GroupBy(a => a.Measure).Select(same => same.MaxBy(a => Math.Abs(a.Said - a.Drawn))).OrderBy(a => a.Measure))
            output.WriteLine($"{worst.Measure}: {worst.What}: said {worst.Said:0.000}, drawn {worst.Drawn:0.000}");

        Assert.True(apart.Count > 200, $"Only {apart.Count} findings could be compared.");
        var off = apart.Where(a => Math.Abs(a.Said - a.Drawn) > Allowed).ToList();
        Assert.True(off.Count == 0, string.Join("\n", off.Select(a => $"{a.What}: said {a.Said:0.000}, drawn {a.Drawn:0.000}")));
    }

    private async Task<List<(string Horse, HorseTrends Trends, PairingFact Pairing)>> PairingsAsync()
    {
        var found = new List<(string, HorseTrends, PairingFact)>();
        await using var session = await demo.Database.ReadAsync(TestContext.Current.CancellationToken);
        foreach (var horse in (await demo.Api.GetAsync("/v1/horses?limit=100")).Items)
        {
            var facts = (await HorseFactsLoader.LoadAsync(session, horse!["id"]!.GetValue<string>(), Policy)).Facts.AsOf(FilledDemo.Today);
            var trends = new HorseTrends(facts, TrendModel.Shipped);
            found.AddRange(facts.Pairings.Select(pairing => (facts.HorseName, trends, pairing)));
        }
        return found;
    }

    /// <summary>Share of the drawn values beyond an out limit, the tree's own error spread evenly over its quantiles.</summary>
    private static double ShareOut(double[] values, Finding finding)
    {
        var sd = MeasureFacts.TreeSd(finding.Key.Measure, Policy.TreeMeasureSdMm);
        return values.Average(value => TreeErrors.Average(error => finding.Limits.IsOut(value + (sd * error)) ? 1.0 : 0));
    }

    private static double Mean(double[] values) => values.Average();

    private static double Sd(double[] values) => Math.Sqrt(values.Average(value => Math.Pow(value - Mean(values), 2)));
}
