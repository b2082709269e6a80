using BackTracker.Engine.Repeatability;
using CsCheck;

namespace BackTracker.Engine.Tests.Repeatability;

public class ErrorEstimateTests
{
    private static readonly Gen<double[]> Repeats = Gen.Double[280, 320].Array[1, 5];

    [Fact]
    public void Sum_of_sessions_does_not_depend_on_their_order_or_on_where_they_lie() => Gen.Select(Repeats.Array[1, 12], Gen.Double[-1000, 1000]).Sample((sessions, shift) =>
    {
        var (one, other) = (RepeatScatter.OfAll(sessions), RepeatScatter.OfAll(sessions.Reverse().Select(session => session.Select(value => value + shift).Reverse().ToArray())));

        Assert.Equal(one.DegreesOfFreedom, other.DegreesOfFreedom);
        Assert.Equal(one.SumOfSquares, other.SumOfSquares, 1e-8);
    });

    [Fact]
    public void After_lies_between_what_was_known_and_what_repeats_say_and_is_surer() => Gen.Select(Repeats.Array[1, 12], Gen.Double[.5, 6]).Sample((sessions, before) =>
    {
        var (scatter, prior) = (RepeatScatter.OfAll(sessions), new ErrorEstimate(6, before));
        if (scatter.DegreesOfFreedom == 0)
            return;

        var after = prior.After(scatter);

        Assert.InRange(after.Sd, Math.Min(before, scatter.Sd) - 1e-12, Math.Max(before, scatter.Sd) + 1e-12);
        Assert.True(after.DegreesOfFreedom > prior.DegreesOfFreedom);
        Assert.True(after.Interval95.High / after.Interval95.Low < prior.Interval95.High / prior.Interval95.Low);
    });

    [Fact]
    public void After_sessions_one_by_one_is_what_it_is_after_all_of_them() => Repeats.Array[1, 12].Sample(sessions =>
    {
        var prior = new ErrorEstimate(6, 2);
        var (one, other) = (sessions.Aggregate(prior, (known, session) => known.After(RepeatScatter.Of(session))), prior.After(RepeatScatter.OfAll(sessions)));

        Assert.Equal(other.DegreesOfFreedom, one.DegreesOfFreedom);
        Assert.Equal(other.Sd, one.Sd, 1e-9);
    });

    /// <summary>A single pair alone says next to nothing: 0.45 s to 32 s.</summary>
    [Fact]
    public void Interval95_of_one_pair_is_as_wide_as_the_chi_square_of_one_degree_has_it()
    {
        var (low, high) = new ErrorEstimate(1, 1).Interval95;

        Assert.Equal((.45, 31.9), (Math.Round(low, 2), Math.Round(high, 1)));
    }

    [Fact]
    public void PriorOf_people_who_differ_no_more_than_chance_weighs_a_thousand_pairs()
    {
        var prior = PeopleSpread.PriorOf([.. Enumerable.Repeat(new RepeatScatter(10, 40), 6)]);

        Assert.Equal(PeopleSpread.MostWeight, prior.DegreesOfFreedom);
        // The logarithm of a variance with ten degrees of freedom is expected a tenth too low.
        Assert.Equal(2, prior.Sd, .12);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(3, 0)]
    public void PriorOf_somebody_whose_repeats_say_nothing_is_refused(int degreesOfFreedom, double sumOfSquares) =>
        Assert.Throws<ArgumentException>(() => PeopleSpread.PriorOf([new(10, 40), new(degreesOfFreedom, sumOfSquares)]));

    // Sessions of 1.8 mm: repeats of 2 mm bring 4, 2, 1.33 against 3.24.
    [Theory]
    [InlineData(2, 1.8, 2)]
    [InlineData(1, 1.8, 2)]
    [InlineData(3, 1.8, 3)]
    [InlineData(4, 1.8, 5)]
    [InlineData(9, 1.8, 5)]
    [InlineData(2, 0, 5)]
    public void RepeatsThatDo_is_where_repeats_leave_no_more_than_the_session(double repeatSd, double sessionSd, int expected) =>
        Assert.Equal(expected, new MeasurementError(repeatSd, sessionSd).RepeatsThatDo);

    [Fact]
    public void LeastRealChange_falls_with_repeats_to_that_of_the_session_alone() => Gen.Select(Gen.Double[.1, 6], Gen.Double[.1, 6]).Sample((repeatSd, sessionSd) =>
    {
        var error = new MeasurementError(repeatSd, sessionSd);

        Assert.True(error.LeastRealChange(2) < error.LeastRealChange(1));
        Assert.Equal(1.96 * Math.Sqrt(2) * sessionSd, error.LeastRealChange(int.MaxValue), 1e-6);
    });
}
