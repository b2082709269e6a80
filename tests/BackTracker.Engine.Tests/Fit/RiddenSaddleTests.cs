using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Fit;

public class RiddenSaddleTests
{
    private static readonly RiderLoad Rider = new(75, 0, 0);

    [Fact]
    public void Under_firmer_panel_presses_harder_and_sinks_less()
    {
        var saddles = Ridden(TracedHorse.Pairing("a", -6), Rider);

        Assert.Equal([PanelFirmness.Soft, PanelFirmness.Normal, PanelFirmness.Firm], saddles.Select(saddle => saddle.Firmness));
        Assert.True(saddles[0].Greatest < saddles[1].Greatest && saddles[1].Greatest < saddles[2].Greatest);
        Assert.True(saddles[0].Own.SpineRoomMm < saddles[1].Own.SpineRoomMm && saddles[1].Own.SpineRoomMm < saddles[2].Own.SpineRoomMm);
        Assert.All(saddles, saddle => Assert.Equal(75 * 9.81, saddle.Own.ForceN, 1e-6));
    }

    [Fact]
    public void Regions_add_up_to_the_load_and_their_greatest_is_the_greatest()
    {
        var saddle = Ridden(TracedHorse.Pairing("a", 8), Rider with { GirthN = 200, RightMm = 15 })[1];

        Assert.Equal(1, saddle.Regions.Sum(region => region.LoadShare), 1e-9);
        Assert.Equal(1, saddle.Regions.Sum(region => region.ConformingLoadShare), 1e-9);
        Assert.Equal(saddle.Greatest, saddle.Regions.Max(region => region.Greatest), 1e-12);
        Assert.Equal(saddle.ConformingGreatest, saddle.Regions.Max(region => region.ConformingGreatest), 1e-12);
        // Statics: both trees carry the load where it acts, so that left and right share it much alike.
        double Right(Func<CarriedRegion, double> share) => saddle.Regions.Where(region => region.Side == Side.Right).Sum(share);
        Assert.Equal(Right(region => region.ConformingLoadShare), Right(region => region.LoadShare), .03);
    }

    [Fact]
    public void StripsOf_tell_every_patch_of_a_side_once()
    {
        var own = Ridden(TracedHorse.Pairing("a"), Rider)[1].Own;

        var strips = own.StripsOf(Side.Right);

        Assert.Equal(own.Patches.Strips, strips.Count);
        Assert.Equal(own.PressureKPa.Count, 2 * strips.Sum(strip => strip.KPa.Count));
        Assert.Equal(own.Of(Side.Right).PeakKPa, strips.Max(strip => strip.KPa.Max()));
        Assert.All(strips, strip => Assert.Equal(strip.LateralMm.Order(), strip.LateralMm));
        Assert.Equal(own.Patches.LengthMm - own.Patches.StripMm, strips[^1].FromFrontMm, 1e-9);
    }

    [Theory]
    [InlineData(0, 0.0, "Lies level and has the slope of the back in front")]
    [InlineData(-2, -5.0, "Sits down in front: 2.0° down in front, its panel 5.0° flatter than the back at T8. In ridden horses a tree a fitting too wide")]
    [InlineData(2, 3.0, "Stands up in front: 2.0° down behind, its panel 3.0° steeper than the back at T8. In ridden horses a tree a fitting too narrow")]
    [InlineData(0, -5.0, "Lies level, though its panel is 5.0° flatter than the back at T8. In ridden horses a tree a fitting too wide")]
    [InlineData(0, 3.0, "Lies level, though its panel is 3.0° steeper than the back at T8. In ridden horses a tree a fitting too narrow")]
    [InlineData(-2, 0.0, "Lies 2.0° down in front, though its panel has the slope of the back in front: look at flocking and place")]
    [InlineData(-2, 3.0, "Lies 2.0° down in front, though its panel is 3.0° steeper than the back at T8: the two do not say the same")]
    [InlineData(2, -5.0, "Lies 2.0° down behind, though its panel is 5.0° flatter than the back at T8: the two do not say the same")]
    public void Say_pitch_and_angle_give_the_words(double pitchDeg, double steeperDeg, string said) =>
        Assert.StartsWith(said, FrontAndRear.Say(pitchDeg, Station.Of(8), steeperDeg, FitTolerances.Default), StringComparison.Ordinal);

    [Fact]
    public void Say_angle_that_is_not_known_goes_by_pitch_alone() =>
        Assert.StartsWith("Lies 2.0° down behind, ", FrontAndRear.Say(2, Station.Of(8), null, FitTolerances.Default), StringComparison.Ordinal);

    [Fact]
    public void Under_heavy_rider_on_a_thin_panel_says_that_the_picture_no_longer_holds()
    {
        var pairing = TracedHorse.Pairing("a", -8);
        var thin = pairing with { TreeShapes = [.. pairing.TreeShapes.Select(tree => tree with { PanelMm = 12 })] };

        var saddle = Ridden(thin, new RiderLoad(120, 0, 0))[0];

        Assert.True(saddle.Own.MostStrain > .6);
        Assert.Contains("pressed together by more than 60 %: there the picture no longer holds.", RiddenWords.Text(saddle), StringComparison.Ordinal);
    }

    private static IReadOnlyList<RiddenSaddle> Ridden(PairingFact pairing, RiderLoad rider) =>
        new PairingFit(pairing, new HorseTrends(TracedHorse.Settled, TrendModel.Shipped), Larkfield.Policy, Larkfield.Today, (Larkfield.Today, Larkfield.Today)).Under(rider, Larkfield.Today).Saddles;
}
