using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Trends;
using CsCheck;

namespace BackTracker.Engine.Tests.Trends;

/// <summary>Random series; a failing sample prints its seed.</summary>
internal static class Generators
{
    public static readonly DateOnly Origin = new(2021, 3, 1);

    public static readonly Metric T13Width = Metric.Width(Station.Of(13), 150);

    public static readonly Gen<SeriesPoint> Points = Gen.Select(Gen.Int[0, 900], Gen.Double[290, 325], Gen.Int[1, 4], Gen.Bool)
        .Select((day, value, repeats, known) =>
            new SeriesPoint(Origin.AddDays(day), value, repeats, known ? ExerciseState.Before : ExerciseState.Unknown, 2));

    public static readonly Gen<MetricSeries> Series = SeriesOf(0, 25);

    public static Gen<MetricSeries> SeriesOf(int least, int most) =>
        Gen.Select(Points.Array[least, most], Gen.Int[-100, 1000].Array[0, 4], Gen.Enum<PriorContext>())
            .Select((points, events, context) =>
                new MetricSeries(T13Width, points, [.. events.Select(day => Origin.AddDays(day))], context));

    public static MetricSeries Of(params (int Day, double Value)[] points) => new(
        T13Width,
        [.. points.Select(point => new SeriesPoint(Origin.AddDays(point.Day), point.Value, 2, ExerciseState.Before, 2))],
        [],
        PriorContext.NothingRecorded);

    /// <summary>What a reader sees of a trend, on days inside and after the data; scaled and shifted to compare trends of different units.</summary>
    public static double[] Picture(MetricTrend trend, int shift = 0, double scale = 1)
    {
        var rate = trend.Rate;
        var numbers = new List<double> { rate.PerDay, rate.StandardError, rate.Low80, rate.High80, trend.LeastRealChange };
        foreach (var day in new[] { 0, 400, 901, 1100 })
        {
            var level = trend.On(Origin.AddDays(day + shift));
            numbers.AddRange([level.Mean, level.Sd, level.Quantile(.1), level.Quantile(.975)]);
        }
        return [.. numbers.Select(number => scale * number), rate.ProbabilityRising, .. trend.Points.Select(point => point.OutlierProbability)];
    }

    public static void AssertSame(double[] expected, double[] actual, double tolerance)
    {
        Assert.Equal(expected.Length, actual.Length);
        for (var i = 0; i < expected.Length; i++)
            Assert.True(Math.Abs(expected[i] - actual[i]) <= tolerance * (1 + Math.Abs(expected[i])), $"entry {i}: {actual[i]:R} instead of {expected[i]:R}");
    }
}
