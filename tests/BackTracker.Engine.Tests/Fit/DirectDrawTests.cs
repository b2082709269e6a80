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

    private const double Allowed = .03;

    // In another order than the draws of the engine.
    private const int FirstCoordinate = 1000;

    public static TheoryData<string> Horses() => ["settled", "widening", "dipping", "uneven", "narrow", "rocking", "new", "young"];

    private static HorseFacts Horse(string name) => name switch
    {
        "widening" => TracedHorse.Measured(i => i < 3 ? 0 : 3.5 * (i - 3)),
        "dipping" => TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, dipMm: 18 + (1.4 * i))),
        "uneven" => TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, asymmetryPct: .8 * i)),
        "narrow" => TracedHorse.Settled with { Pairings = [TracedHorse.Pairing("a", -8)] },
        "rocking" => TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, dipMm: 18 - (1.8 * i))),
        "new" => TracedHorse.Measured(_ => 0, sessions: 1),
        "young" => TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, 4 * i, dipMm: 24), sessions: 2),
        _ => TracedHorse.Settled,
    };

    [Theory]
    [MemberData(nameof(Horses))]
    public void On_probability_is_within_3_percent_of_2000_drawn_backs(string name)
    {
        var facts = Horse(name);
        var (trends, pairing) = (new HorseTrends(facts, TrendModel.Shipped), facts.Pairings[0]);
        var fit = new PairingFit(pairing, trends, Larkfield.Policy, Larkfield.Today, (Larkfield.Today, Larkfield.Today.AddDays(365)));
        var apart = new List<string>();
        foreach (var day in new[] { 0, 14, 84, 250, 300 }.Select(ahead => Larkfield.Today.AddDays(ahead)))
        {
            var drawn = Drawn(trends.Back, pairing, day);
            foreach (var finding in fit.On(day).Where(finding => drawn.ContainsKey(finding.Key)))
            {
                var numbers = finding.Numbers!.Value;
                var (said, share) = (numbers.ProbabilityLow + numbers.ProbabilityHigh, drawn[finding.Key].Count(finding.Limits.IsOut) / (double)Draws);
                if (Math.Abs(said - share) >= Allowed)
                    apart.Add($"{finding.Key} on {day:O}: {said:0.000} against {share:0.000} of the draws (value {numbers.Value:0.00}, SD {numbers.Sd:0.00}; drawn {drawn[finding.Key].Average():0.00}).");
            }
        }
        Assert.True(apart.Count == 0, string.Join("\n", apart));
    }

    private static Dictionary<FindingKey, double[]> Drawn(BackTrends back, PairingFact pairing, DateOnly day)
    {
        var saddle = new LaidSaddle(back, EffectiveTree.On(pairing, Larkfield.Today)!, pairing.TreeFrontFromT8Mm!.Value, pairing.PadMm);
        var correlation = new double[back.Count, back.Count];
        for (var a = 0; a < back.Count; a++)
            for (var b = 0; b < back.Count; b++)
                correlation[a, b] = back.Correlation(a, b);
        var lower = Cholesky.Of(correlation);
        var (state, normals) = (back.On(day), Enumerable.Range(0, back.Count).Select(i => EvenDraws.Normals(FirstCoordinate + i, Draws)).ToArray());
        var drawn = saddle.Keys.ToDictionary(key => key, _ => new double[Draws]);
        var values = new double[back.Count];
        for (var draw = 0; draw < Draws; draw++)
        {
            var at = draw;
            for (var i = 0; i < values.Length; i++)
                values[i] = state.Means[i] + (state.Sds[i] * Enumerable.Range(0, i + 1).Sum(j => lower[i, j] * normals[j][at]));
            var found = saddle.ReadOn(values).Numbers;
            for (var k = 0; k < saddle.Keys.Count; k++)
                drawn[saddle.Keys[k]][draw] = found[k] + (MeasureFacts.TreeSd(saddle.Keys[k].Measure, Larkfield.Policy.TreeMeasureSdMm) * EvenDraws.Normals(FirstCoordinate - 1, Draws)[draw]);
        }
        return drawn;
    }
}
