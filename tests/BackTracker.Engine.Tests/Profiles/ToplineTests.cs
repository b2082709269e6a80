using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using CsCheck;

namespace BackTracker.Engine.Tests.Profiles;

public class ToplineTests
{
    private static readonly Gen<PointMm[]> Drawn = Gen.Double[-15, 15].Array[25].Select(wobble => wobble
        .Select((mm, i) => new PointMm((20 * i) - 60, (50 * Math.Sin(i / 24.0 * Math.PI)) + mm)).ToArray());

    [Fact]
    public void Of_sagging_back_is_measured_from_the_string()
    {
        var topline = Topline.Of([new(-100, 0), new(0, 30), new(100, 40), new(200, 25), new(300, 0)]);

        Assert.Equal(new Topline(40, 100), topline);
    }

    [Fact]
    public void Of_several_hollows_takes_the_deepest_under_its_own_string()
    {
        var topline = Topline.Of([new(0, 0), new(100, 10), new(200, -20), new(300, 25), new(400, -20)]);

        Assert.Equal(new Topline(45, 300), topline);
    }

    [Fact]
    public void Of_arched_back_has_no_dip() => Assert.Equal(0, Topline.Of([new(0, 20), new(100, 5), new(200, 0), new(300, 6)]).DipMm);

    [Fact]
    public void Of_turned_paper_is_the_same() => Gen.Select(Drawn, Gen.Double[-12, 12]).Sample((trace, turn) =>
    {
        Assert.Equal(Topline.Of(trace).DipMm, Topline.Of(Advancing(trace.Moved(turn, 30, -8))).DipMm, 1e-9);

        // A turn may set a steep wobble back; then another line is drawn, and the property does not speak of it.
        PointMm[] Advancing(PointMm[] points) => points.Zip(points.Skip(1)).All(step => step.Second.X > step.First.X) ? points : trace;
    });

    [Fact]
    public void Of_drawn_from_the_tail_is_the_same() => Drawn.Sample(trace => Assert.Equal(Topline.Of(trace), Topline.Of([.. trace.Reverse()])));

    [Fact]
    public void Of_pen_set_back_takes_the_line_drawn_first() =>
        Assert.Equal(new Topline(30, 100), Topline.Of([new(0, 0), new(100, 30), new(80, 90), new(100, 70), new(200, 0)]));

    [Fact]
    public void Of_no_line_is_refused()
    {
        Assert.Throws<ArgumentException>(() => Topline.Of([]));
        Assert.Throws<ArgumentException>(() => Topline.Of([new(5, 0), new(5, 10)]));
        Assert.Throws<ArgumentException>(() => Topline.Of([new(5, 0), new(15, double.NaN)]));
    }
}
