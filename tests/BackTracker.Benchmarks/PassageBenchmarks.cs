using BackTracker.Engine.Forecasts;
using BenchmarkDotNet.Attributes;

namespace BackTracker.Benchmarks;

/// <summary>First passage of one measure over a year, followed every third day.</summary>
public class PassageBenchmarks
{
    private readonly double[] days = [.. Enumerable.Range(0, 53).Select(week => 7.0 * week)];

    /// <summary>A level near the middle of its band, on the way out.</summary>
    [Benchmark]
    public double OneMeasure() => Passage.OutBy(new MovingLevel(303, .06, 3, .03, .0015, 2 * .05 * .05 / 90, 90), 292, 308, days)[^1];
}
