using System.Text.Json.Nodes;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Engine.Tests.Published;

/// <summary>Dataset SiRstv of NIST StRD: readings by five instruments as repeats of five sessions in one span. Constant leading digits.</summary>
public class ResistivityTests
{
    private readonly JsonNode certified;
    private readonly double[][] groups;

    public ResistivityTests()
    {
        var file = PublishedValues.Read("nist_sirstv");
        certified = file["certified"]!;
        groups = [.. file["groups"]!.AsArray().Select(group => group!.AsArray().Select(value => value!.GetValue<double>()).ToArray())];
    }

    [Fact]
    public void Scatter_of_repeats_is_the_certified_residual()
    {
        var scatter = RepeatScatter.OfAll(groups);

        Assert.Equal(certified.Number("df_within"), scatter.DegreesOfFreedom);
        Assert.Equal(certified.Number("ss_within"), scatter.SumOfSquares, 1e-12);
        Assert.Equal(certified.Number("residual_sd"), scatter.Sd, 1e-12);
    }

    [Fact]
    public void NestedSessions_of_one_span_has_the_certified_squares_and_F()
    {
        var nested = NestedSessions.Of([groups]);

        Assert.Equal(certified.Number("df_between"), nested.Sessions.DegreesOfFreedom);
        Assert.Equal(certified.Number("ss_between"), nested.Sessions.SumOfSquares, 1e-12);
        Assert.Equal(certified.Number("f"), nested.Sessions.Sd * nested.Sessions.Sd / (nested.Repeats.Sd * nested.Repeats.Sd), 1e-9);
        // One-way layout: variance between instruments = (mean square between - within) / repeats.
        var expected = ((certified.Number("ss_between") / 4) - (certified.Number("ss_within") / 20)) / 5;
        Assert.Equal(expected, nested.SessionVar(certified.Number("ss_within") / 20), 1e-12);
    }
}
