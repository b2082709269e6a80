using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Sections;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Sections;

public class BackTrendsTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    [Fact]
    public void Of_traced_horse_trends_five_depths_a_station_and_the_dip()
    {
        var back = Back(TracedHorse.Settled);
        Assert.Equal([8, 13, 18], back.Sections.Select(section => section.Station.Vertebra));
        Assert.All(back.Sections, section => Assert.Equal((SectionKind.Traced, false), (section.Kind, section.SidesAreKnown)));
        Assert.Equal(16, back.Count);
        Assert.Equal(new Metric(Quantity.Dip), back.MetricOf(15));
    }

    [Fact]
    public void Of_horse_with_widths_at_two_depths_models_its_sections()
    {
        var facts = Larkfield.Settled with
        {
            Sessions = [new SessionFact("s", Day, ExerciseState.Before, [new(Metric.Width(Station.Of(13), 30), 140), new(Metric.Width(Station.Of(13), 150), 306), new(Metric.Width(Station.Of(8), 150), 272)])],
        };
        var section = Assert.Single(Back(facts).Sections);
        Assert.Equal((13, SectionKind.ByWidths), (section.Station.Vertebra, section.Kind));
    }

    // .8 between depths of a station, .5 between stations, 0 between what is not alike: until it is learned, common practice, no source.
    [Fact]
    public void Correlation_follows_station_and_kind()
    {
        var back = Back(TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, asymmetryPct: 2)));
        int T8(int depth) => back.IndexOf(Metric.Width(Station.Of(8), depth));
        var t13 = back.IndexOf(Metric.Width(Station.Of(13), 30));
        var uneven = back.IndexOf(new Metric(Quantity.Asymmetry, Station.Of(8), 150));
        Assert.Equal((1, .8, .5, 0.0), (back.Correlation(T8(30), T8(30)), back.Correlation(T8(30), T8(150)), back.Correlation(T8(30), t13), back.Correlation(T8(30), uneven)));
    }

    [Fact]
    public void LoadingOf_directions_rebuild_the_covariances()
    {
        var back = Back(TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, asymmetryPct: 2)));
        var state = back.On(Day.AddDays(60));
        for (var a = 0; a < back.Count; a++)
        {
            for (var b = 0; b < back.Count; b++)
            {
                var covariance = Enumerable.Range(0, back.Count).Sum(direction => back.LoadingOf(a, direction, state) * back.LoadingOf(b, direction, state));
                Assert.Equal(back.Correlation(a, b) * state.Sds[a] * state.Sds[b], covariance, 1e-9);
            }
        }
    }

    [Fact]
    public void Outline_both_sides_are_the_mean_unless_every_station_was_marked()
    {
        var even = Back(TracedHorse.Settled);
        Assert.False(even.Outline.SidesAreKnown);
        var shape = even.Outline.Of(even.On(Day).Means);
        Assert.Equal(shape.Stations[1].Left.OffsetAt(150), shape.Stations[1].Right.OffsetAt(150));
        var uneven = Back(TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, asymmetryPct: 6)));
        var (left, right) = (uneven.Outline.Of(uneven.On(Day).Means).Stations[1].Left.OffsetAt(150), uneven.Outline.Of(uneven.On(Day).Means).Stations[1].Right.OffsetAt(150));
        Assert.Equal(6, 100 * (right - left) / ((left + right) / 2), .2);
    }

    [Fact]
    public void Outline_one_station_without_marks_leaves_every_side_the_mean()
    {
        var facts = TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, asymmetryPct: 6));
        facts = facts with { Sessions = [.. facts.Sessions.Select(session => session with { Readings = [.. session.Readings.Where(reading => reading.Metric is not { Quantity: Quantity.Asymmetry, Station.Vertebra: 18 })] })] };
        Assert.False(Back(facts).Outline.SidesAreKnown);
    }

    // The latest topline keeps its form; its sag follows the trend of the dip.
    [Fact]
    public void Outline_topline_sags_with_the_trend_of_the_dip()
    {
        var back = Back(TracedHorse.Settled);
        var values = back.On(Day).Means.ToArray();
        var before = back.Outline.Of(values).TopAt(210);
        values[^1] += 5;
        Assert.Equal(before + 5, back.Outline.Of(values).TopAt(210), .1);
        Assert.Equal(back.Outline.Of(back.On(Day).Means).TopAt(0), back.Outline.Of(values).TopAt(0), 1.5);
    }

    [Fact]
    public void Outline_takes_places_and_topline_from_the_latest_session_that_has_them()
    {
        var later = TracedHorse.Session("later", Day) with { StationPositionsMm = new Dictionary<Station, double> { [Station.Of(13)] = 216 }, Topline = [] };
        var outline = Back(TracedHorse.Settled.With(later)).Outline;
        Assert.Equal((0, 216, 420, true), (outline.PositionsMm[Station.Of(8)], outline.PositionsMm[Station.Of(13)], outline.PositionsMm[Station.Of(18)], outline.HasTopline));
        Assert.False(Back(Larkfield.Settled).Outline.HasTopline);
    }

    private static BackTrends Back(HorseFacts facts) => new HorseTrends(facts, TrendModel.Shipped).Back;
}
