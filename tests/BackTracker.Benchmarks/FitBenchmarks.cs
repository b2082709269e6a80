using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BenchmarkDotNet.Attributes;

namespace BackTracker.Benchmarks;

/// <summary>
/// What laying a tree on a back costs: three sections of six points a side, a tree known at eleven stations, 21 strips of 8 cells a side.
/// The backs differ by tenths of a millimetre, as they do where a fit is differentiated. One thread.
/// </summary>
[MemoryDiagnoser]
public class FitBenchmarks
{
    private static readonly double[] OffsetsMm = [0, 30, 60, 95, 130, 165];
    private static readonly Panel Panel = new(ZoneThickness.Even(22), ZoneThickness.Even(20));

    private static readonly DownwardForce[] Rider = [new(80 * 9.81, new(150, 0))];

    private readonly TreeShape tree = Tree();
    private readonly BackShape[] backs = [.. Enumerable.Range(0, 18).Select(i => Back(.1 * i))];
    private readonly PointMm[] trace = [.. Enumerable.Range(-33, 67).Select(i => new PointMm(5 * i, 5 * i * 5 * i / 200.0))];
    private readonly LaidTree laid;
    private int next;

    /// <summary>Makes the tree ready.</summary>
    public FitBenchmarks() => laid = LaidTree.For(backs[0], tree, Panel, FitSetting.For(tree));

    /// <summary>A tree laid on a back for the first time.</summary>
    [Benchmark]
    public double Cold() => SaddleFit.Of(Next(), tree, Panel, FitSetting.For(tree)).RockingMm;

    /// <summary>The same tree on the next back.</summary>
    [Benchmark]
    public double Warm() => SaddleFit.On(Next(), laid).RockingMm;

    /// <summary>The panel under a rider of 80 kg, patches cut: where each patch gives and how the saddle settles.</summary>
    [Benchmark]
    public double Contact() => BeddedPanel.Over(Next(), laid).Under(2, Rider).Whole.PeakKPa;

    /// <summary>A trace of 67 points read into a section, and its metrics.</summary>
    [Benchmark]
    public double ProfileMetrics() => Section.TryRead(trace, default, out var section, out _) ? new ProfileMetrics(section).FillMm2 : double.NaN;

    private BackShape Next() => backs[next++ % backs.Length];

    private static BackShape Back(double moreMm) => new(
        [Station(0, [0, 12 + moreMm, 36, 78, 122, 170]), Station(200, [0, 7, 24 + moreMm, 56, 95, 140]), Station(400, [0, 4, 15, 36 + moreMm, 66, 104])],
        [new(-100, -12), new(0, -8), new(120, 5), new(200, 8), new(300, 4), new(420, 0)]);

    private static BackStation Station(double atMm, double[] depthsMm) =>
        new(atMm, new CubicHalf(OffsetsMm, depthsMm), new CubicHalf(OffsetsMm, [.. depthsMm.Select(depth => .98 * depth)]));

    private static TreeShape Tree() => new(
    [
        .. Enumerable.Range(0, 11).Select(i => new TreeStation(-60 + (42 * i), 60 - (2 * i), Side(i, 0), Side(i, 1))),
    ]);

    // Steep in front, flat behind, steepening outwards.
    private static TreeSide Side(int station, double moreMm)
    {
        double slope = .9 - (.05 * station), bearing = 75 + (2 * station) + moreMm;
        return new TreeSide(
            45 + station, bearing, .2 * Math.Pow(station - 5, 2),
            [.. Enumerable.Range(0, 6).Select(k => new PointMm(bearing * k / 5, (slope * bearing * k / 5) + (.0012 * Math.Pow(bearing * k / 5, 2))))]);
    }
}
