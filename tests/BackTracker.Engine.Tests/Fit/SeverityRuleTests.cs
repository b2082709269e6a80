using BackTracker.Engine.Fit;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Fit;

public class SeverityRuleTests
{
    // Limits 10/20 mm wide and 7/14 mm narrow: derived from one fitting = 20 mm across the points (Meschan et al. 2007, Vet J 173:578-584).
    [Theory]
    [InlineData(.049, 0, Severity.Unknown, Severity.Ok)]
    [InlineData(.05, 0, Severity.Ok, Severity.Ok)]
    [InlineData(.0999, 0, Severity.Ok, Severity.Ok)]
    [InlineData(.10, 0, Severity.Ok, Severity.Watch)]
    [InlineData(.4999, 0, Severity.Out, Severity.Watch)]
    [InlineData(.50, 0, Severity.Ok, Severity.Out)]
    [InlineData(.01, 9.99, Severity.Ok, Severity.Ok)]
    [InlineData(.01, 10, Severity.Ok, Severity.Watch)]
    [InlineData(.01, -6.99, Severity.Ok, Severity.Ok)]
    [InlineData(.01, -7, Severity.Ok, Severity.Watch)]
    [InlineData(.05, 0, Severity.Watch, Severity.Watch)]
    [InlineData(.0499, 0, Severity.Watch, Severity.Ok)]
    [InlineData(.05, 0, Severity.Out, Severity.Watch)]
    [InlineData(.0499, 0, Severity.Out, Severity.Ok)]
    [InlineData(.0499, 10, Severity.Out, Severity.Watch)]
    public void Of_boundary_rows(double probability, double mismatchMm, Severity last, Severity expected) =>
        Assert.Equal(expected, SeverityRule.Of(Measure.Width150, new FindingNumbers(mismatchMm, 1, 0, 0, probability), FitTolerances.Usual(Measure.Width150), last, Larkfield.Policy));

    [Theory]
    [InlineData(20, false)]
    [InlineData(20.01, true)]
    [InlineData(-14, false)]
    [InlineData(-14.01, true)]
    public void IsOut_lies_beyond_the_out_limits(double mismatchMm, bool expected) => Assert.Equal(expected, FitTolerances.Usual(Measure.Width150).IsOut(mismatchMm));

    // The two published sizes of a fitting agree (10 degrees: conference abstract 2023; 2 cm across the points: Meschan et al. 2007): our
    // arithmetic, to first order on an arm of 15 cm at 40 degrees.
    [Fact]
    public void One_fitting_in_degrees_and_in_centimetres_agree() =>
        Assert.Equal(2.005, 15 * Math.Cos(double.DegreesToRadians(40)) * double.DegreesToRadians(10), .0005);
}
