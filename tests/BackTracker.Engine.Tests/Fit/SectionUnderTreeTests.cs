using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Fit;

public class SectionUnderTreeTests
{
    private static readonly DateOnly Day = Larkfield.Today;
    private static readonly Station T13 = Station.Of(13);

    [Fact]
    public void SectionOn_face_lies_with_its_inner_edges_on_the_skin_and_as_far_off_as_compared()
    {
        var facts = TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, asymmetryPct: 4)) with { Pairings = [TracedHorse.Pairing("a", -5)] };

        var section = FitOf(facts).SectionOn(T13, Day);

        var (left, right, compared) = (section.Back.Section.Left, section.Back.Section.Right, section.Compared);
        double Above(PointMm edge, HalfSection skin) => skin.DepthAt(edge.X) - edge.Y;
        Assert.Equal(0, Above(section.LeftFace[0], left) + Above(section.RightFace[0], right), .05);
        Assert.Equal(compared.Left.HalfMismatch150Mm!.Value, OffsetAt(section.LeftFace, compared.DepthUsed150Mm) - left.OffsetAt(compared.DepthUsed150Mm), .05);
        Assert.Equal(compared.Right.HalfMismatch30Mm!.Value, OffsetAt(section.RightFace, compared.DepthUsed30Mm) - right.OffsetAt(compared.DepthUsed30Mm), .05);
        Assert.Equal(compared.OuterEdgeDepthMm, Math.Min(section.LeftFace[^1].Y, section.RightFace[^1].Y), 1e-9);
        Assert.True(section.Back.SidesAreKnown && left.OffsetAt(100) < right.OffsetAt(100));
    }

    [Fact]
    public void SectionOn_mismatch_is_the_finding_of_that_day()
    {
        var fit = FitOf(TracedHorse.Settled with { Pairings = [TracedHorse.Pairing("a", -5)] });

        var finding = fit.On(Day).Single(finding => finding.Key == new FindingKey(Measure.Width, T13));

        Assert.Equal(finding.Numbers!.Value.Value, fit.SectionOn(T13, Day).Compared.WidthMismatch150Mm!.Value, .3);
        Assert.Equal([Station.Of(8), T13, Station.Of(18)], fit.Covered);
    }

    // Marks at one station alone tell nothing of how the saddle lies: it is laid on the mean of both sides, and so it is drawn.
    [Fact]
    public void SectionOn_sides_known_at_some_stations_only_is_the_mean_of_both()
    {
        var facts = TracedHorse.Sessions((id, on, _) =>
        {
            var session = TracedHorse.Session(id, on, asymmetryPct: 8);
            return session with { Readings = [.. session.Readings.Where(reading => reading.Metric.Quantity != Quantity.Asymmetry || reading.Metric.Station == T13)] };
        });

        var section = FitOf(facts).SectionOn(T13, Day);

        Assert.False(section.Back.SidesAreKnown);
        Assert.Equal(section.Back.Section.Left.OffsetAt(100), section.Back.Section.Right.OffsetAt(100), 1e-9);
    }

    [Fact]
    public void SectionOn_tree_by_widths_covers_nothing()
    {
        var facts = TracedHorse.Settled with { Pairings = [Larkfield.Pairing("a", 300)] };

        Assert.Empty(FitOf(facts).Covered);
        Assert.Throws<InvalidOperationException>(() => FitOf(facts).SectionOn(T13, Day));
    }

    private static PairingFit FitOf(HorseFacts facts) =>
        new(facts.Pairings[0], new HorseTrends(facts, TrendModel.Shipped), Larkfield.Policy, Day, (Day, Day));

    private static double OffsetAt(IReadOnlyList<PointMm> face, double depthMm)
    {
        var after = face.TakeWhile(point => point.Y < depthMm).Count();
        if (after == 0 || after == face.Count)
            return face[after == 0 ? 0 : ^1].X;
        var (a, b) = (face[after - 1], face[after]);
        return double.Lerp(a.X, b.X, (depthMm - a.Y) / (b.Y - a.Y));
    }
}
