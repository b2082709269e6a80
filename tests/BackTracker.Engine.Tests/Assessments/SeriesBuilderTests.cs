using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Assessments;

public class SeriesBuilderTests
{
    private static readonly DateOnly Day = Larkfield.Today;

    [Fact]
    public void Build_repeats_of_a_session_are_averaged_and_counted()
    {
        var session = new SessionFact("s", Day, ExerciseState.Before, [new(Larkfield.T13, 300), new(Larkfield.T13, 303), new(Metric.Width(Station.Of(8), 150), 250)]);
        var point = Assert.Single(SeriesBuilder.Build(Larkfield.Blank.With(session), Larkfield.T13).Points);
        Assert.Equal(new SeriesPoint(Day, 301.5, 2, ExerciseState.Before, 2), point);
    }

    [Fact]
    public void Build_session_of_somebody_whose_repeats_are_known_takes_their_error()
    {
        var error = new LearnedError("isla", MeasuringMethod.ArmGauge, Larkfield.T13, ErrorBasis.Person, 40, 1.3);
        var facts = (Larkfield.Blank with { Errors = new([error]) })
            .With(Larkfield.Session("a", Day.AddDays(-2), 300) with { MeasuredBy = "isla", Method = MeasuringMethod.ArmGauge })
            .With(Larkfield.Session("b", Day.AddDays(-1), 300) with { MeasuredBy = "isla", Method = MeasuringMethod.Calliper })
            .With(Larkfield.Session("c", Day, 300) with { MeasuredBy = "rhys", Method = MeasuringMethod.ArmGauge });

        Assert.Equal([1.3, 2, 2], SeriesBuilder.Build(facts, Larkfield.T13).Points.Select(point => point.RepeatSd));
    }

    // Greve, Murray and Dyson 2015, Vet J 206:39-46: a ridden bout widens the back.
    [Fact]
    public void Build_sessions_after_work_are_left_out_and_unknown_ones_kept()
    {
        var facts = Larkfield.Blank
            .With(Larkfield.Session("a", Day.AddDays(-2), 312, exercise: ExerciseState.After))
            .With(Larkfield.Session("u", Day, 301, exercise: ExerciseState.Unknown))
            .With(Larkfield.Session("b", Day.AddDays(-4), 300));
        Assert.Equal([300, 301], SeriesBuilder.Build(facts, Larkfield.T13).Points.Select(point => point.Mean));
    }

    [Fact]
    public void Build_event_days_are_events_and_phases_after_the_first()
    {
        var facts = Larkfield.Blank
            .With(new PhaseFact("p2", Day, Phase.Building))
            .With(new PhaseFact("p1", Day.AddDays(-100), Phase.Rest))
            .With(new EventFact("e", Day.AddDays(-50), EventKind.Illness))
            .With(new EventFact("f", Day, EventKind.StartOfWork));
        var series = SeriesBuilder.Build(facts, Larkfield.T13);
        Assert.Equal([Day.AddDays(-50), Day], series.EventDays);
    }

    [Theory]
    [InlineData(-50, PriorContext.EventsRecorded)]
    [InlineData(-100, PriorContext.NothingRecorded)]
    [InlineData(5, PriorContext.NothingRecorded)]
    public void Build_prior_of_dated_events_needs_one_among_the_sessions(int eventInDays, PriorContext context)
    {
        var facts = Larkfield.Blank
            .With(Larkfield.Session("s1", Day.AddDays(-60), 300))
            .With(Larkfield.Session("s2", Day, 300))
            .With(new PhaseFact("p", Day.AddDays(-90), Phase.Building))
            .With(new EventFact("e", Day.AddDays(eventInDays), EventKind.StartOfWork, Occurrence.Planned));
        Assert.Equal(context, SeriesBuilder.Build(facts, Larkfield.T13).Context);
    }

    [Fact]
    public void Build_as_of_a_day_leaves_later_sessions_out() =>
        Assert.Equal(7, SeriesBuilder.Build(Larkfield.Settled, Larkfield.T13, Day.AddDays(-8)).Points.Count);

    [Fact]
    public void Widths_are_listed_by_station_and_depth()
    {
        var facts = Larkfield.Blank.With(new SessionFact("s", Day, ExerciseState.Before,
            [new(Larkfield.T13, 300), new(Metric.Width(Station.Of(13), 30), 120), new(Metric.Width(Station.Of(8), 150), 250), new(new Metric(Quantity.Girth), 1900)]));
        Assert.Equal(["T8.width150", "T13.width30", "T13.width150"], SeriesBuilder.WidthsOf(facts).Select(metric => metric.ToString()));
    }

    [Fact]
    public void Assess_summarises_every_measured_width()
    {
        var trend = Assert.Single(Larkfield.Settled.Assess().Trends);
        Assert.Equal((Larkfield.T13, "mm", 8, Day.AddDays(-7)), (trend.Metric, trend.Unit, trend.Sessions, trend.LastOn));
        Assert.InRange(trend.Level, 299, 301);
    }
}
