using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Sections;

namespace BackTracker.Service.Tests.Demo;

/// <summary>A saddle laid on backs that are drawn at random as the trends allow, with its findings read off by hand.</summary>
internal sealed class DrawnSaddle
{
    private readonly BackTrends _back;
    private readonly LaidTree _laid;
    private readonly List<Station> _stations;
    private readonly double[,] _lower;

    public DrawnSaddle(BackTrends back, PairingFact pairing, DateOnly asOf)
    {
        (_back, _stations, _lower) = (back, [.. back.Outline.Stations], LowerOf(back));
        var tree = EffectiveTree.On(pairing, asOf)!;
        var shape = tree.LaidAt(pairing.TreeFrontFromT8Mm!.Value);
        _laid = LaidTree.For(back.Outline.Of(back.On(asOf).Means), shape, tree.PanelWith(pairing.PadMm), FitSetting.For(shape));
    }

    public static bool IsLaid(Measure measure) =>
        measure is not (Measure.Width150 or Measure.Channel or Measure.Reach or Measure.ShoulderRoom or Measure.Asymmetry150 or Measure.Asymmetry30);

    /// <summary>Values of every finding on so many backs of a day.</summary>
    public Dictionary<FindingKey, double[]> On(DateOnly day, int draws)
    {
        var state = _back.On(day);
        double[][] normals = [.. state.Means.Select((_, i) => Strata(draws, new Random(20_261_125 + i)))];
        var found = new Dictionary<FindingKey, double[]>();
        for (var draw = 0; draw < draws; draw++)
        {
            var at = draw;
            double[] values = [.. state.Means.Select((mean, i) => mean + (state.Sds[i] * Enumerable.Range(0, i + 1).Sum(j => _lower[i, j] * normals[j][at])))];
            foreach (var (key, value) in Read(SaddleFit.On(_back.Outline.Of(values), _laid)))
            {
                if (!found.TryGetValue(key, out var all))
                    found.Add(key, all = new double[draws]);
                all[draw] = value;
            }
        }
        return found;
    }

    // One draw from each of as many equally likely strata, so that luck has little say in the shares.
    private static double[] Strata(int draws, Random random)
    {
        double[] normals = [.. Enumerable.Range(0, draws).Select(i => Normal.Quantile((i + random.NextDouble()) / draws))];
        random.Shuffle(normals);
        return normals;
    }

    private IEnumerable<(FindingKey Key, double Value)> Read(SaddleFit fit)
    {
        foreach (var compared in fit.Stations)
        {
            var station = _stations[compared.Station];
            yield return (new(Measure.Width, station), compared.WidthMismatch150Mm!.Value);
            yield return (new(Measure.Angle, station), .5 * (compared.Left.AngleMismatchDeg + compared.Right.AngleMismatchDeg)!.Value);
            yield return (new(Measure.AngleDifference, station), (compared.Left.AngleMismatchDeg - compared.Right.AngleMismatchDeg)!.Value);
        }
        var arch = fit.Tree.FrontMm + (fit.Tree.LengthMm / 6);
        yield return (new(Measure.PommelClearance), fit.Clearances.Where(place => place.AtMm <= arch).Min(place => place.RoomMm));
        yield return (new(Measure.SpineClearance), fit.Clearances.Where(place => place.AtMm > arch).Min(place => place.RoomMm));
        yield return (new(Measure.Bridging, null, Side.Left), fit.LeftBridging.MostMm);
        yield return (new(Measure.Bridging, null, Side.Right), fit.RightBridging.MostMm);
        yield return (new(Measure.Bridging), Math.Max(fit.LeftBridging.MostMm, fit.RightBridging.MostMm));
        yield return (new(Measure.Rocking), fit.RockingMm);
        yield return (new(Measure.Balance), fit.Rest.PitchDeg);
        yield return (new(Measure.Roll), fit.Rest.RollDeg);
    }

    /// <summary>Cholesky factor of how far the coordinates go together.</summary>
    private static double[,] LowerOf(BackTrends back)
    {
        var lower = new double[back.Count, back.Count];
        for (var i = 0; i < back.Count; i++)
            for (var j = 0; j <= i; j++)
            {
                var rest = back.Correlation(i, j) - Enumerable.Range(0, j).Sum(k => lower[i, k] * lower[j, k]);
                lower[i, j] = i == j ? Math.Sqrt(rest) : rest / lower[j, j];
            }
        return lower;
    }
}
