using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Service.Features.Measurements;
using BenchmarkDotNet.Attributes;

namespace BackTracker.Benchmarks;

/// <summary>What drawn traces cost: one trace with all its metrics, and all traces of a horse as an assessment reads them. One thread.</summary>
[MemoryDiagnoser]
public class ProfileBenchmarks
{
    private readonly PointMm[] trace = [.. Enumerable.Range(-30, 61).Select(Corner)];
    private readonly MeasuredValues[] sessions = [.. Enumerable.Repeat(Session(), 24)];

    /// <summary>A trace of 61 points, cleaned, with every metric and warning.</summary>
    [Benchmark(Baseline = true)]
    public double TraceWithAllMetrics()
    {
        if (!Section.TryRead(trace, default, out var section, out var fault))
            throw new InvalidOperationException(TraceWords.Code(fault));
        var metrics = new ProfileMetrics(section);
        return metrics.WidthMm(30) + metrics.ShapeRatio + metrics.AsymmetryPct(150) + metrics.AngleDeg + metrics.FillMm2 + metrics.Warnings.Count;
    }

    /// <summary>Readings of 24 sessions of 3 stations, each drawn twice and marked.</summary>
    [Benchmark]
    public double ReadingsOfTwoYears() => sessions.Sum(session => MeasurementFacts.Readings(session).Count);

    private static MeasuredValues Session()
    {
        List<double>[] points = [.. Enumerable.Range(-30, 61).Select(Corner).Select(point => new List<double> { point.X, point.Y })];
        var traces = from station in new[] { "T8", "T13", "T18" }
                     from repeat in new[] { 1, 2 }
                     select new TraceValues { Station = station, Repeat = repeat, Points = points, Midline = [0, 0], Level = [[-100, 0], [100, 0]] };
        return new MeasuredValues { Traces = [.. traces] };
    }

    private static PointMm Corner(int i) => new(5 * i, 30 * Math.Pow(Math.Abs(5 * i) / 58.0, Math.Log(5) / Math.Log(140 / 58.0)));
}
