using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Sections;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Forecasts;

/// <summary>Risk by a day, followed along straight lines, against the saddle laid on every drawn back of every path, bends and all.</summary>
public class DirectPathTests
{
    // The same paths are taken, so that little is left of their noise; the worst is .026.
    private const double Allowed = .04;

    private static readonly CheckPolicy NoSurprises = Larkfield.Policy with { SurpriseHazardPerDay = 0 };

    private static HorseFacts Horse(string name) => name switch
    {
        "widening" => TracedHorse.Measured(i => i < 3 ? 0 : 3.5 * (i - 3)),
        "rocking" => TracedHorse.Sessions((id, on, i) => TracedHorse.Session(id, on, dipMm: 18 - (1.8 * i))),
        _ => TracedHorse.Settled,
    };

    [Theory]
    [InlineData("settled")]
    [InlineData("widening")]
    [InlineData("rocking")]
    public void OutBy_is_what_a_saddle_does_that_is_laid_on_every_path(string name)
    {
        var facts = Horse(name);
        var (trends, pairing, last) = (new HorseTrends(facts, TrendModel.Shipped), facts.Pairings[0], Larkfield.Today.AddDays(365));
        var fit = new PairingFit(pairing, trends, NoSurprises, Larkfield.Today, (Larkfield.Today, last));
        Assert.True(PairingForecast.TryMake(fit, last, out var forecast));
        var start = forecast.Overall[0].Day;
        var saddle = new LaidSaddle(trends.Back, EffectiveTree.On(pairing, Larkfield.Today)!, pairing.TreeFrontFromT8Mm!.Value, pairing.PadMm);

        var shares = OutByOf(saddle, trends.Back, fit, start, [.. PathGrid.DaysTo(365)]);

        var apart = new List<string>();
        foreach (var curve in forecast.Measures.Where(curve => shares.ContainsKey(curve.Key)))
        {
            foreach (var (day, share) in shares[curve.Key].Where(known => (known.Day.DayNumber - start.DayNumber) is 84 or 182 or 350))
            {
                if (Math.Abs(curve.At(day).OutBy - share) >= Allowed)
                    apart.Add($"{curve.Key} by {day:O}: {curve.At(day).OutBy:0.000} against {share:0.000} of the paths.");
            }
        }
        Assert.True(apart.Count == 0, string.Join("\n", apart));
    }

    private static Dictionary<FindingKey, List<(DateOnly Day, double Share)>> OutByOf(LaidSaddle saddle, BackTrends back, PairingFit fit, DateOnly start, int[] nodes)
    {
        var paths = back.PathsFrom(start);
        var limits = fit.On(Larkfield.Today).Where(finding => finding.Numbers is not null).ToDictionary(finding => finding.Key, finding => finding.Limits);
        var shares = saddle.Keys.Where(limits.ContainsKey).ToDictionary(key => key, _ => new List<(DateOnly, double)>());
        var hasBeenOut = saddle.Keys.Select(_ => new bool[BackPaths.Count]).ToArray();
        for (var node = 0; node < nodes.Length; node++)
        {
            var day = start.AddDays(nodes[node]);
            for (var path = 0; path < BackPaths.Count; path++)
                Lay(path, node, day);
            for (var k = 0; k < saddle.Keys.Count; k++)
            {
                if (shares.TryGetValue(saddle.Keys[k], out var found))
                    found.Add((day, hasBeenOut[k].Count(isOut => isOut) / (double)BackPaths.Count));
            }
        }
        return shares;

        void Lay(int path, int node, DateOnly day)
        {
            var means = back.On(day).Means;
            if (saddle.TryReadOn([.. means.Select((mean, i) => mean + paths.OffOn(i, node)[path])]) is not { } laid)
                return;
            for (var k = 0; k < saddle.Keys.Count; k++)
            {
                var tree = MeasureFacts.TreeSd(saddle.Keys[k].Measure, NoSurprises.TreeMeasureSdMm) * EvenDraws.Normals(2000 + k, BackPaths.Count)[path];
                hasBeenOut[k][path] |= limits.TryGetValue(saddle.Keys[k], out var own) && own.IsOut(laid.Numbers[k] + tree);
            }
        }
    }
}
