using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using CsCheck;

namespace BackTracker.Engine.Tests.Profiles;

public class SectionTests
{
    private static readonly PointMm[] Plain = Backs.Power(58, 140);

    [Fact]
    public void TryRead_several_crossings_of_the_midline_splits_at_the_highest()
    {
        // The pen runs over the midline at 11 mm, back at 5 mm and over it again at 2 mm depth: the last is the highest.
        PointMm[] trace = [new(-60, 40), new(-28, 18), new(10, 8), new(-10, 2), new(10, 2), new(40, 26), new(70, 50)];

        var section = Backs.Read(trace);

        Assert.Equal(2, section.DepthShiftMm, 1e-12);
        Assert.Equal([new PointMm(0, 0), new PointMm(10, 0), new PointMm(40, 24), new PointMm(70, 48)], section.Right.Points);
        Assert.Equal([new PointMm(0, 0), new PointMm(10, 0), new PointMm(-10, 6), new PointMm(28, 16), new PointMm(60, 38)], section.Left.Points);
    }

    [Fact]
    public void TryRead_crossings_equally_high_splits_at_the_first()
    {
        PointMm[] trace = [new(-60, 40), new(-30, 20), new(0, 5), new(10, 8), new(-10, 5), new(10, 5), new(40, 30), new(70, 55)];

        Assert.Equal([new PointMm(0, 0), new PointMm(30, 15), new PointMm(60, 35)], Backs.Read(trace).Left.Points);
    }

    [Fact]
    public void TryRead_line_that_runs_along_the_midline_splits_at_its_upper_end()
    {
        PointMm[] trace = [new(-60, 40), new(-30, 20), new(0, 14), new(0, 4), new(30, 30), new(60, 55)];

        var section = Backs.Read(trace);

        Assert.Equal(4, section.DepthShiftMm);
        Assert.Equal([TraceWarning.DepthShifted], section.Warnings);
        Assert.Equal([new PointMm(0, 0), new PointMm(0, 10), new PointMm(30, 16), new PointMm(60, 36)], section.Left.Points);
    }

    [Theory]
    [InlineData(double.NaN, 0)]
    [InlineData(0, double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity, double.NaN)]
    public void TryRead_coordinate_that_is_no_number_is_not_finite(double x, double y)
    {
        foreach (var place in new[] { 0, 20, Plain.Length - 1 })
        {
            PointMm[] broken = [.. Plain];
            broken[place] = new PointMm(x, y);
            Assert.Equal(TraceFault.NotFinite, Backs.FaultOf(broken));
        }
        Assert.Equal(TraceFault.NotFinite, Backs.FaultOf([new PointMm(x, y)]));
        Assert.Equal(TraceFault.NotFinite, Backs.FaultOf(Plain, new TraceMarks(new PointMm(x, y), null)));
    }

    [Fact]
    public void TryRead_traces_that_are_none_say_why()
    {
        Assert.Equal(TraceFault.TooFewPoints, Backs.FaultOf([]));
        Assert.Equal(TraceFault.TooFewPoints, Backs.FaultOf([new(-60, 60), new(-60, 60 + 5e-7), new(-30, 20), new(0, 0), new(40, 30)]));
        Assert.Equal(TraceFault.MidlineOutsideTrace, Backs.FaultOf([.. Plain.Where(p => p.X >= 0)]));
        Assert.Equal(TraceFault.MidlineOutsideTrace, Backs.FaultOf(Plain, new TraceMarks(new PointMm(171, 0), null)));
        Assert.Equal(TraceFault.UnitSuspect, Backs.FaultOf([.. Plain.Where(p => Math.Abs(p.X) < 40)]));
        Assert.Equal(TraceFault.GapTooLarge, Backs.FaultOf([.. Plain.Where(p => p.X is < 30 or > 65)]));
        Assert.Equal(TraceFault.RotationTooLarge, Backs.FaultOf(Plain, new TraceMarks(null, new LevelLine(new(-100, -20), new(100, 60)))));
        Assert.Equal(TraceFault.RotationTooLarge, Backs.FaultOf(Plain, new TraceMarks(null, new LevelLine(new(100, 0), new(-100, 0)))));
    }

    [Fact]
    public void TraceWords_every_fault_and_warning_has_its_own_words()
    {
        Assert.Equal(
            ["not_finite", "too_few_points", "midline_outside_trace", "unit_suspect", "gap_too_large", "rotation_too_large"],
            Enum.GetValues<TraceFault>().Select(TraceWords.Code));
        var warnings = Enum.GetValues<TraceWarning>().Select(TraceWords.Code).ToList();
        Assert.Equal(warnings.Order(StringComparer.Ordinal), warnings);
        Assert.Equal(6, Enum.GetValues<TraceFault>().Select(TraceWords.Sentence).Distinct().Count());
    }

    [Fact]
    public void TryRead_moved_and_turned_with_its_marks_is_as_it_was() =>
        Gen.Select(Backs.Drawn, Gen.Double[-19, 19], Gen.Double[-60, 60], Gen.Double[-40, 40]).Sample((trace, turn, shift, sink) =>
        {
            var mark = Backs.Move(default, turn, shift, sink);
            var level = new LevelLine(Backs.Move(new(-150, 20), turn, shift, sink), Backs.Move(new(150, 20), turn, shift, sink));

            var plain = Backs.Read(trace, new TraceMarks(default(PointMm), new LevelLine(new(-1, 0), new(1, 0))));
            var moved = Backs.Read(trace.Moved(turn, shift, sink), new TraceMarks(mark, level));

            Assert.True(moved.IsMarked);
            Assert.Equal(turn, moved.RotationDeg, 1e-9);
            Assert.Equal(plain.DepthShiftMm, moved.DepthShiftMm, 1e-9);
            Backs.AssertSame(Flat(plain), Flat(moved), 1e-10);
        });

    // The pen touched the midline and turned back before it crossed lower down; turned on its paper, rounding sets the touch off the midline.
    [Fact]
    public void TryRead_touching_the_midline_before_crossing_it_is_the_same_when_turned()
    {
        PointMm[] touching = [.. Plain.Where(p => p.X < 0), new(0, .2), new(-2, .4), .. Plain.Where(p => p.X > 0)];
        foreach (var turn in new[] { 9.53, -3.3, 17.1, 4.7 })
        {
            var level = new LevelLine(Backs.Move(new(-150, 20), turn, 41, 3), Backs.Move(new(150, 20), turn, 41, 3));
            Assert.Equal(.2, Backs.Read(touching.Moved(turn, 41, 3), new TraceMarks(Backs.Move(default, turn, 41, 3), level)).DepthShiftMm, 1e-9);
        }
    }

    [Fact]
    public void IsMarked_only_with_both_marks()
    {
        var level = new LevelLine(new(-100, 0), new(100, 0));

        Assert.False(Backs.Read(Plain).IsMarked);
        Assert.False(Backs.Read(Plain, new TraceMarks(default(PointMm), null)).IsMarked);
        Assert.False(Backs.Read(Plain, new TraceMarks(null, level)).IsMarked);
        Assert.True(Backs.Read(Plain, new TraceMarks(default(PointMm), level)).IsMarked);
    }

    [Fact]
    public void TryRead_one_mark_alone_moves_or_turns()
    {
        var moved = Backs.Measure(Plain.Moved(0, 9, 5), new TraceMarks(new PointMm(9, 5), null));
        var turned = Backs.Measure(Plain.Moved(3, 0), new TraceMarks(null, new LevelLine(Backs.Move(new(-100, 0), 3, 0, 0), Backs.Move(new(100, 0), 3, 0, 0))));

        Assert.Equal(0, moved.AsymmetryPct(30), 1e-9);
        Assert.Equal(0, turned.AsymmetryPct(150), 1e-9);
    }

    [Fact]
    public void SpacingMm_is_the_step_a_random_place_lies_in()
    {
        Assert.Equal(5, Backs.Read(Plain).SpacingMm, 1e-9);
        // 100 mm in steps of 5 and a hole of 20 on either side: (20 x 25 + 2 x 400) / 140.
        var holed = Plain.Where(p => Math.Abs(p.X) is <= 50 or 70).ToList();
        Assert.Equal(1300 / 140.0, Backs.Read(holed).SpacingMm, 1e-9);
    }

    private static double[] Flat(Section section) => [.. section.Left.Points.Concat(section.Right.Points).SelectMany(p => new[] { p.X, p.Y })];
}
