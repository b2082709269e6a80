using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Checks;

public sealed class BringingTests
{
    private static readonly DateOnly Today = new(2026, 11, 25);
    private static readonly ObservationFact Heat = new("o", Today, ObservationKind.Heat, ObservationSeverity.Unstated, null, null);

    [Fact]
    public void AWideTree_asksForANarrowerOneAndForShims() => Assert.Equal(
        ["A narrower tree or head plate", "Shims, to fill a wide tree until it is altered"], Needs([OfWidth(26, 3, Severity.Out)]));

    [Fact]
    public void ANarrowTree_asksForAWiderOne_andNeverForFlockingOrShims() => Assert.Equal(
        ["A wider tree or head plate"], Needs([OfWidth(-26, 3, Severity.Out), Levelled(Measure.Bridging, 9, null)]));

    [Fact]
    public void Hollows_askForFlocking_andSayHowMuchIsOutWhere()
    {
        var need = Assert.Single(Bringing.For([Levelled(Measure.Bridging, 9, Side.Left)], [], new CheckPolicy()));

        Assert.Equal("Flocking", need.What);
        Assert.Contains("on the left", Assert.Single(need.Because), StringComparison.Ordinal);
        Assert.EndsWith(": a hollow of about 9 mm", need.Because[0], StringComparison.Ordinal);
    }

    [Fact]
    public void WhileAVetFirstSignIsOpen_nothingUnequalIsAskedFor() => Assert.Equal(
        ["Nothing unequal before the vet", "Flocking"],
        Needs([Levelled(Measure.Bridging, 9, Side.Left), Levelled(Measure.Roll, 5, null), Levelled(Measure.Rocking, 24, null), Of(Measure.AngleDifference, 9, 1, Severity.Out)], Heat));

    [Fact]
    public void AWatchThatOnlyTheSpreadCallsFor_asksForNothing()
    {
        Assert.Empty(Needs([OfWidth(2, 12, Severity.Watch)]));
        Assert.NotEmpty(Needs([OfWidth(2, 12, Severity.Out)]));
    }

    [Fact]
    public void RoomOverTheWithers_asksForMoreOrLessOfIt_orForAWiderTreeWhereItIsPerchedUp()
    {
        Finding low = Of(Measure.PommelClearance, 20, 3, Severity.Out), high = Of(Measure.PommelClearance, 90, 3, Severity.Watch);

        Assert.Equal(["A tree with more room over the withers"], Needs([low]));
        Assert.Equal(["A tree with less room over the withers"], Needs([high]));
        Assert.Equal(["A wider tree or head plate"], Needs([high, OfWidth(-26, 3, Severity.Out)]));
    }

    [Fact]
    public void WhatStandsStill_asksForAnotherTreeOnlyWhenItIsOut()
    {
        Assert.Empty(Needs([Of(Measure.Reach, -10, 34, Severity.Watch)]));
        Assert.Equal(["A shorter tree"], Needs([Of(Measure.Reach, 60, 34, Severity.Out)]));
    }

    private static IReadOnlyList<string> Needs(IReadOnlyList<Finding> findings, params ObservationFact[] vetFirst) =>
        [.. Bringing.For(findings, vetFirst, new CheckPolicy()).Select(need => need.What)];

    private static Finding OfWidth(double mm, double sd, Severity severity) => Of(Measure.Width, mm, sd, severity) with { Key = new(Measure.Width, Station.Of(13)) };

    private static Finding Levelled(Measure measure, double value, Side? side) => Of(measure, value, 1, Severity.Out) with { Key = new(measure, null, side), FlockingMm = value / 3 * (measure == Measure.Bridging ? 3 : 1) };

    private static Finding Of(Measure measure, double value, double sd, Severity severity) => new(
        new(measure), Today, "t", FitTolerances.Default.Of(measure), new FindingNumbers(value, sd, value < 0 ? .9 : 0, value > 0 ? .9 : 0, .9), severity, "");
}
