using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Repeatability;

public class RepeatStudyTests
{
    private static readonly Metric T13 = Larkfield.T13;
    private static readonly DateOnly Day = Larkfield.Today;

    [Fact]
    public void Study_of_a_made_yard_finds_what_it_was_made_with()
    {
        // Isla scatters by 1.5 mm, Rhys by 3 and reads 4 mm wider; both err by 1.6 mm from session to session.
        var study = new RepeatStudy(MadeYard(600));

        var (isla, rhys) = (Assert.Single(study.OfPerson("isla")), Assert.Single(study.OfPerson("rhys")));

        Assert.Equal(1.5, isla.Estimate.Sd, .1);
        Assert.Equal(3, rhys.Estimate.Sd, .2);
        Assert.Equal(1.6, isla.SessionSd, .2);
        Assert.Equal((1200, 600), (isla.Repeats.DegreesOfFreedom, isla.SessionDegreesOfFreedom));
        var other = Assert.Single(study.OthersThan("isla"));
        Assert.Equal(("rhys", 600), (other.Other, other.Agreement.Pairs));
        // Three standard errors.
        Assert.Equal(-4, other.Agreement.Bias, .36);
        var spread = Math.Sqrt((1.5 * 1.5 / 4) + (1.6 * 1.6 / 2) + (9.0 / 2) + (1.6 * 1.6));
        Assert.Equal(spread, other.Agreement.Sd, .2);
    }

    [Fact]
    public void Study_of_both_sides_gives_the_same_differences_with_the_other_sign()
    {
        var study = new RepeatStudy(MadeYard(30));

        var (one, other) = (study.OthersThan("isla")[0].Agreement, study.OthersThan("rhys")[0].Agreement);

        Assert.Equal((one.Pairs, -one.Bias), (other.Pairs, other.Bias));
        Assert.Equal(one.LowLimit().Low, -other.HighLimit().High, 1e-9);
    }

    [Fact]
    public void OfMethod_pools_everybody_and_names_each()
    {
        var study = new RepeatStudy(MadeYard(40));

        var pooled = Assert.Single(study.OfMethod(MeasuringMethod.ArmGauge));

        Assert.Equal(study.OfPerson("isla")[0].Repeats + study.OfPerson("rhys")[0].Repeats, pooled.Repeats with { SumOfSquares = pooled.Repeats.SumOfSquares });
        Assert.Equal(["isla", "rhys"], study.PeopleOf(MeasuringMethod.ArmGauge, T13).Keys.Order());
        Assert.Equal(ErrorBasis.Method, pooled.Used.Basis);
    }

    [Fact]
    public void OthersThan_a_method_holds_methods_of_whomever_against_each_other()
    {
        HorseSession[] sessions =
        [
            .. Enumerable.Range(0, 3).Select(i => At($"h{i}", 0, "isla", 300 + i)),
            .. Enumerable.Range(0, 3).Select(i => At($"h{i}", 2, "rhys", 297))
                .Select(item => item with { Session = item.Session with { Method = MeasuringMethod.FlexibleCurve } }),
        ];

        var agreement = Assert.Single(new RepeatStudy(sessions).OthersThan(MeasuringMethod.ArmGauge));

        Assert.Equal((MeasuringMethod.FlexibleCurve, 3, 4), (agreement.Other, agreement.Agreement.Pairs, agreement.Agreement.Bias));
        Assert.Empty(new RepeatStudy(sessions).OthersThan("isla"));
    }

    [Theory]
    [InlineData(6, ExerciseState.Before, 2)]
    [InlineData(7, ExerciseState.Before, 0)]
    [InlineData(1, ExerciseState.After, 0)]
    [InlineData(1, ExerciseState.Unknown, 0)]
    public void OthersThan_compares_within_a_week_and_before_work_alone(int daysLater, ExerciseState exercise, int pairs)
    {
        HorseSession[] sessions = [.. new[] { "h1", "h2" }.SelectMany(horse => new[] { At(horse, 0, "isla", 300), At(horse, daysLater, "rhys", 303, exercise) })];

        Assert.Equal(pairs, new RepeatStudy(sessions).OthersThan("isla").Sum(found => found.Agreement.Pairs));
    }

    [Fact]
    public void OfPerson_with_few_sessions_in_a_week_has_the_starting_part_between_sessions()
    {
        var isla = Assert.Single(new RepeatStudy([At("h1", 0, "isla", 300), At("h1", 1, "isla", 310)]).OfPerson("isla"));

        Assert.Equal((0, 1.82), (isla.SessionDegreesOfFreedom, isla.SessionSd));
        Assert.Equal((2, 0, ErrorBasis.Starting), (isla.Sessions, isla.Repeats.DegreesOfFreedom, isla.Used.Basis));
    }

    [Fact]
    public void StationMark_tells_how_far_places_of_a_station_lie_apart_on_the_same_horse()
    {
        HorseSession Placed(string horse, int day, double t18) => At(horse, day, "isla", 300, vertebra: 18) is var item
            ? item with { Session = item.Session with { StationPositionsMm = new Dictionary<Station, double> { [Station.Of(18)] = t18 } } } : item;

        var mark = Assert.Single(StationMark.Of([Placed("h1", 0, 400), Placed("h1", 28, 430), Placed("h2", 0, 450), At("h2", 28, "isla", 300, vertebra: 18), At("h2", 28, "isla", 300, vertebra: 8)]));

        Assert.Equal((Station.Of(18), 4, 3, new RepeatScatter(1, 450)), (mark.Station, mark.Sessions, mark.Placed, mark.Scatter));
    }

    private static HorseSession At(string horse, int daysLater, string person, double width, ExerciseState exercise = ExerciseState.Before, int vertebra = 13) =>
        new(horse, Larkfield.Session($"{person}{daysLater}", Day.AddDays(daysLater), width, vertebra, exercise) with { MeasuredBy = person, Method = MeasuringMethod.ArmGauge });

    private static HorseSession[] MadeYard(int horses)
    {
        var random = new Random(11);
        double Normal(double sd) => sd * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        HorseSession Session(string horse, int day, string person, double level, double sd)
        {
            var at = level + Normal(1.6);
            return At(horse, day, person, 0) with { Session = At(horse, day, person, 0).Session with { Readings = [new(T13, at + Normal(sd)), new(T13, at + Normal(sd))] } };
        }

        return [.. Enumerable.Range(0, horses).SelectMany(i =>
        {
            var level = 300 + Normal(20);
            return new[] { Session($"h{i}", 0, "isla", level, 1.5), Session($"h{i}", 3, "isla", level, 1.5), Session($"h{i}", 4, "rhys", level + 4, 3) };
        })];
    }
}
