using BackTracker.Engine.Repeatability;
using CsCheck;

namespace BackTracker.Engine.Tests.Repeatability;

public class NestedSessionsTests
{
    /// <summary>The expectation of a quadratic form in independent effects of variance 1 is the sum of what each effect alone brings.</summary>
    [Fact]
    public void Share_of_any_design_is_the_sum_of_squares_that_each_session_alone_would_make() => Gen.Int[1, 4].Array[1, 4].Array[1, 5].Sample(design =>
    {
        double[][][] Spans(int marked)
        {
            var count = 0;
            return [.. design.Select(span => span.Select(repeats => Enumerable.Repeat(count++ == marked ? 1.0 : 0, repeats).ToArray()).ToArray())];
        }

        var expected = Enumerable.Range(0, design.Sum(span => span.Length)).Sum(i => NestedSessions.Of(Spans(i)).Sessions.SumOfSquares);

        Assert.Equal(expected, NestedSessions.Of(Spans(-1)).Share, 1e-9);
    });

    [Fact]
    public void SessionVar_of_sessions_that_agree_is_none_and_of_single_sessions_unknown()
    {
        Assert.Equal(0, NestedSessions.Of([[[300, 302], [302, 300]]]).SessionVar(2));
        Assert.True(double.IsNaN(NestedSessions.Of([[[300, 302]], [[310.0]]]).SessionVar(2)));
    }

    [Fact]
    public void SessionVar_of_many_spans_finds_what_they_were_made_with()
    {
        var random = new Random(5);
        double Normal(double sd) => sd * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        double[] Session(double level, int repeats) { var at = level + Normal(1.5); return [.. Enumerable.Range(0, repeats).Select(_ => at + Normal(2))]; }
        var spans = Enumerable.Range(0, 4000).Select(i => { var level = 300 + Normal(20); return new[] { Session(level, 1 + (i % 3)), Session(level, 2), Session(level, 1) }; });

        var nested = NestedSessions.Of(spans);

        Assert.Equal(2, nested.Repeats.Sd, .05);
        Assert.Equal(1.5, Math.Sqrt(nested.SessionVar(4)), .05);
    }
}
