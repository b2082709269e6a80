using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Engine.Tests.Assessments;
using CsCheck;

namespace BackTracker.Engine.Tests.Repeatability;

public class MeasurementErrorsTests
{
    private static readonly Metric T13 = Larkfield.T13;

    [Fact]
    public void ErrorsFor_from_fewer_than_twenty_pairs_stays_with_the_starting_value()
    {
        var errors = Learn(Pairs("isla", 19, 8));

        Assert.Empty(errors.Learned);
        Assert.Equal(2, errors.RepeatSd(Session("isla"), T13));
    }

    [Fact]
    public void ErrorsFor_from_twenty_pairs_is_theirs_shrunk_towards_the_starting_value()
    {
        var learned = Learn(Pairs("isla", 20, 3)).Of(Session("isla"), T13);

        // Each pair 3 mm apart: sum of squares 4.5 each.
        Assert.Equal((ErrorBasis.Person, 26), (learned.Basis, learned.DegreesOfFreedom));
        Assert.Equal(Math.Sqrt(((6 * 4) + (20 * 4.5)) / 26), learned.Sd, 1e-12);
    }

    [Fact]
    public void ErrorsFor_of_somebody_new_takes_the_method_where_others_repeated_enough()
    {
        var learned = Learn([.. Pairs("rhys", 12, 3), .. Pairs("owen", 9, 5), .. Pairs("isla", 1, 9)]).Of(Session("isla"), T13);

        Assert.Equal((ErrorBasis.Method, 28), (learned.Basis, learned.DegreesOfFreedom));
        Assert.Equal(Math.Sqrt(((6 * 4) + (12 * 4.5) + (9 * 12.5) + 40.5) / 28), learned.Sd, 1e-12);
    }

    [Fact]
    public void ErrorsFor_of_one_of_few_is_shrunk_towards_the_others_and_not_towards_herself()
    {
        var learned = Learn([.. Pairs("isla", 20, 2), .. Pairs("rhys", 30, 6)]).Of(Session("isla"), T13);

        var others = ((6 * 4) + (30 * 18.0)) / 36;
        Assert.Equal(Math.Sqrt(((6 * others) + (20 * 2)) / 26), learned.Sd, 1e-12);
    }

    [Fact]
    public void ErrorsFor_of_one_of_many_is_shrunk_by_how_people_differ()
    {
        (string Id, double Apart)[] people = [("a", 2), ("b", 3), ("c", 5), ("d", 1.5), ("isla", 4)];
        var learned = Learn([.. people.SelectMany(person => Pairs(person.Id, 30, person.Apart))]).Of(Session("isla"), T13);

        var prior = PeopleSpread.PriorOf([.. people.Select(person => new RepeatScatter(30, 15 * person.Apart * person.Apart))]);
        Assert.Equal(prior.After(new RepeatScatter(30, 240)).Sd, learned.Sd, 1e-12);
        Assert.InRange(learned.Sd, prior.Sd, Math.Sqrt(8));
    }

    [Fact]
    public void Of_any_repeats_is_their_scatter() => Gen.Double[250, 350].Array[1, 6].Array[1, 8].Sample(sessions =>
    {
        var table = ScatterTable.Of(sessions.Select(widths => Session("isla", widths)));

        var (expected, actual) = (RepeatScatter.OfAll(sessions), table.Of("isla", MeasuringMethod.ArmGauge, T13));
        Assert.Equal(expected.DegreesOfFreedom, actual.DegreesOfFreedom);
        Assert.Equal(expected.SumOfSquares, actual.SumOfSquares, 1e-8);
    });

    [Fact]
    public void ErrorsFor_keeps_methods_and_metrics_apart()
    {
        var errors = Learn(Pairs("isla", 20, 3));

        Assert.Equal(2, errors.RepeatSd(Session("isla") with { Method = MeasuringMethod.FlexibleCurve }, T13));
        Assert.Equal(2, errors.RepeatSd(Session("isla"), Metric.Width(Station.Of(8), 150)));
    }

    [Fact]
    public void ErrorsFor_from_repeats_that_always_agree_does_not_believe_them()
    {
        Assert.Equal(1, Learn(Pairs("isla", 200, 0)).RepeatSd(Session("isla"), T13));
    }

    [Fact]
    public void ErrorsFor_counts_repeats_after_work_and_those_of_nobody_for_the_method_alone()
    {
        var after = Learn(Pairs("isla", 20, 3).Select(session => session with { Exercise = ExerciseState.After }));
        var nobody = Learn(Pairs("", 20, 3)).Of(Session(""), T13);

        Assert.Equal(ErrorBasis.Person, after.Of(Session("isla"), T13).Basis);
        Assert.Equal(ErrorBasis.Method, nobody.Basis);
    }

    [Fact]
    public void Assess_the_same_facts_with_errors_learned_tells_the_level_with_another_error()
    {
        var facts = Larkfield.Settled with { Sessions = [.. Larkfield.Settled.Sessions.Select(session => session with { MeasuredBy = "isla", Method = MeasuringMethod.ArmGauge })] };
        var wide = facts with { Errors = new([new LearnedError("isla", MeasuringMethod.ArmGauge, T13, ErrorBasis.Person, 60, 5)]) };

        var (usual, unsteady) = (Trend(facts), Trend(wide));

        Assert.True(unsteady.LevelSe > 1.3 * usual.LevelSe);
        Assert.True(unsteady.LeastRealChange > 1.3 * usual.LeastRealChange);
    }

    private static TrendSummary Trend(HorseFacts facts) =>
        Assert.Single(HorseAssessment.Assess(facts, Larkfield.Policy, Engine.Trends.TrendModel.Shipped, Larkfield.Today).Trends);

    private static MeasurementErrors Learn(IEnumerable<SessionFact> yard) => ScatterTable.Of(yard).ErrorsFor([Session("isla"), Session("")]);

    private static SessionFact Session(string person, params double[] widths) => new("s", Larkfield.Today, ExerciseState.Before, [.. widths.DefaultIfEmpty(300).Select(width => new Reading(T13, width))])
    {
        MeasuredBy = person,
        Method = MeasuringMethod.ArmGauge,
    };

    private static IEnumerable<SessionFact> Pairs(string person, int count, double apart) =>
        Enumerable.Range(0, count).Select(i => Session(person, 290 + i, 290 + i + apart));
}
