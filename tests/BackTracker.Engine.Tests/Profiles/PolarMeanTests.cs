using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using CsCheck;

namespace BackTracker.Engine.Tests.Profiles;

public class PolarMeanTests
{
    [Fact]
    public void Of_circles_is_the_mean_of_their_closed_forms()
    {
        double[] radii = [160, 170, 185];
        var mean = PolarMean.Of([.. radii.Select(radius => Backs.Read(Backs.Circle(radius)))]);

        for (var i = 0; i < mean.Points.Count; i++)
        {
            // r = c cos t + sqrt(c^2 cos^2 t - c^2 + R^2), c = 120 - R: from the centre of the rays to the circle.
            var cos = Math.Cos(double.DegreesToRadians(mean.FirstThetaDeg + i));
            var expected = radii.Average(radius => ((120 - radius) * cos) + Math.Sqrt(((120 - radius) * (120 - radius) * ((cos * cos) - 1)) + (radius * radius)));
            Assert.Equal(expected, double.Hypot(mean.Points[i].X, mean.Points[i].Y - 120), .01);
        }
        Assert.Equal(-mean.FirstThetaDeg, mean.LastThetaDeg);
        Assert.Equal(0, mean.SdMm[-mean.FirstThetaDeg], 1e-12);
    }

    [Fact]
    public void Edge_lies_as_many_deviations_off_along_each_ray()
    {
        var mean = PolarMean.Of([.. new[] { 160.0, 170, 185 }.Select(radius => Backs.Read(Backs.Circle(radius)))]);
        var (outer, inner) = (mean.Edge(2), mean.Edge(-1));

        for (var i = 0; i < mean.Points.Count; i++)
        {
            var radius = double.Hypot(mean.Points[i].X, mean.Points[i].Y - 120);
            Assert.Equal(radius + (2 * mean.SdMm[i]), double.Hypot(outer[i].X, outer[i].Y - 120), 1e-9);
            Assert.Equal(radius - mean.SdMm[i], double.Hypot(inner[i].X, inner[i].Y - 120), 1e-9);
        }
        Assert.Equal(PolarMean.Of([Backs.Read(Backs.Circle(160))]).Points, PolarMean.Of([Backs.Read(Backs.Circle(160))]).Edge(1));
    }

    [Fact]
    public void Of_one_trace_lies_on_it_and_has_no_spread() => Backs.Drawn.Sample(trace =>
    {
        var section = Backs.Read(trace);
        var mean = PolarMean.Of([section]);

        Assert.Equal(default, mean.Points[-mean.FirstThetaDeg]);
        Assert.All(mean.SdMm, sd => Assert.Equal(double.NaN, sd));
        foreach (var point in mean.Points)
        {
            var half = point.X < 0 ? section.Left : section.Right;
            Assert.Contains(half.Points.Zip(half.Points.Skip(1)), side => OffTheLine(side.First, side.Second, point with { X = Math.Abs(point.X) }) < 1e-9);
        }
    }, iter: 20);

    [Fact]
    public void Of_repeats_ends_where_the_shortest_ends_and_does_not_mind_their_order()
    {
        var whole = Backs.Read(Backs.Power(58, 140));
        var narrow = Backs.Read([.. Backs.Power(56, 138).Where(p => p.X <= 90)]);

        var mean = PolarMean.Of([whole, narrow]);
        var turned = PolarMean.Of([narrow, whole]);

        Assert.InRange(mean.Points[^1].X, 85, 91);
        Assert.True(mean.Points[0].X < -140);
        Assert.Equal(mean.Points, turned.Points);
    }

    [Fact]
    public void ToSection_is_marked_only_where_every_repeat_was()
    {
        var marks = new TraceMarks(default(PointMm), new LevelLine(new(-100, 0), new(100, 0)));
        Section marked = Backs.Read(Backs.Power(58, 140), marks), unmarked = Backs.Read(Backs.Power(58, 140));

        Assert.True(PolarMean.Of([marked, marked]).ToSection().IsMarked);
        Assert.False(PolarMean.Of([marked, unmarked]).ToSection().IsMarked);
        Assert.Equal(116, new ProfileMetrics(PolarMean.Of([marked, unmarked]).ToSection()).WidthMm(30), .1);
    }

    [Fact]
    public void Of_nothing_is_refused() => Assert.Throws<ArgumentException>(() => PolarMean.Of([]));

    private static double OffTheLine(PointMm a, PointMm b, PointMm p)
    {
        double dx = b.X - a.X, dy = b.Y - a.Y;
        var share = Math.Clamp((((p.X - a.X) * dx) + ((p.Y - a.Y) * dy)) / ((dx * dx) + (dy * dy)), 0, 1);
        return double.Hypot(p.X - a.X - (share * dx), p.Y - a.Y - (share * dy));
    }
}
