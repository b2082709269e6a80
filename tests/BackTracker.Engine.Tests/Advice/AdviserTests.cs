using BackTracker.Engine.Advice;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Advice;

/// <summary>What is advised for saddles of which it is known what would mend them.</summary>
public class AdviserTests
{
    private static readonly DateOnly Today = Larkfield.Today;
    private static readonly DateOnly Dropped = new(2026, 4, 1);
    private static readonly HorseFacts Marked = TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, asymmetryPct: 0));

    [Fact]
    public void Of_tree_that_follows_the_back_advises_nothing()
    {
        var advice = Advise(TracedHorse.Settled);

        Assert.Equal(AdviceKind.NothingToDo, advice.Kind);
        Assert.Empty(advice.Zones);
        Assert.Null(advice.Adjusted);
        Assert.Equal(0, advice.GainDays);
        Assert.True(advice.AsIs!.ProbabilityOut < .01);
        Assert.StartsWith("Nothing is to be done at the panel: no flocking of up to 10 mm a zone", advice.Text, StringComparison.Ordinal);
    }

    // A tree with a low arch, so that the room over the withers is what an even drop takes.
    [Theory]
    [InlineData(6)]
    [InlineData(10)]
    public void Of_panel_that_packed_down_evenly_advises_even_flocking(double droppedMm)
    {
        var advice = Advise(TracedHorse.Settled, pairing => LowArch(pairing).Adjusted(Dropped, AdjustmentKind.Flocking, All(-droppedMm)));

        Assert.Equal(AdviceKind.Flocking, advice.Kind);
        Assert.Equal(6, advice.Zones.Count);
        var mm = Assert.Single(advice.Zones.Select(zone => zone.Mm).Distinct());
        Assert.InRange(mm, 2, droppedMm);
        Assert.StartsWith($"Add {mm} mm of flocking all along the panel, on both sides. The chance of having left tolerance then stays under 20 % for 365 days, instead of", advice.Text, StringComparison.Ordinal);
        Assert.True(advice.GainDays > 30 && advice.Adjusted!.RiskLimitOn is null && advice.AsIs!.RiskLimitOn is not null);
    }

    [Fact]
    public void Of_panel_without_wool_advises_shims_and_never_takes_anything_out()
    {
        var advice = Advise(TracedHorse.Settled, pairing => LowArch(pairing).Adjusted(Dropped, AdjustmentKind.Flocking, All(-8)), Filling.Foam);

        Assert.Equal(AdviceKind.Shims, advice.Kind);
        Assert.All(advice.Zones, zone => Assert.True(zone.Mm > 0));
        Assert.StartsWith("Lay a shim of ", advice.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(5)]
    [InlineData(7)]
    public void Of_panel_that_packed_down_in_the_middle_fills_the_middle(double droppedMm)
    {
        var advice = Advise(TracedHorse.Settled, pairing => pairing.Adjusted(Dropped, AdjustmentKind.Flocking, TracedHorse.Both(Zone.Middle, -droppedMm)));

        Assert.Equal(AdviceKind.Flocking, advice.Kind);
        double Of(Zone zone) => Assert.Single(advice.Zones.Where(change => change.Zone == zone).Select(change => change.Mm).Append(0).Distinct().OrderByDescending(Math.Abs).Take(1));
        // What counts is the middle against both ends.
        Assert.InRange(Of(Zone.Middle) - Of(Zone.Front), droppedMm - 2, droppedMm + 2);
        Assert.InRange(Of(Zone.Middle) - Of(Zone.Rear), droppedMm - 2, droppedMm + 2);
        Assert.Contains("to the middle third on both sides", advice.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_one_side_lower_fills_that_side()
    {
        var advice = Advise(Marked, LeftLower);

        Assert.Equal(AdviceKind.Flocking, advice.Kind);
        Assert.Equal([Side.Left], advice.Zones.Select(zone => zone.Side).Distinct());
        Assert.All(advice.Zones, zone => Assert.InRange(zone.Mm, 3, 6));
        Assert.StartsWith("Add 4 mm of flocking all along the panel, on the left.", advice.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_one_side_lower_under_a_vet_first_sign_is_refused_until_a_vet_has_looked()
    {
        var advice = Advise(Marked.With(Larkfield.Seen(ObservationKind.Swelling, Today.AddDays(-1))), LeftLower);

        Assert.Equal(AdviceKind.VetFirst, advice.Kind);
        Assert.Empty(advice.Zones);
        Assert.Contains("no flocking is made unequal before a vet has looked", advice.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("mm", advice.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_both_sides_lower_under_a_vet_first_sign_stays_equal()
    {
        var advice = Advise(Marked.With(Larkfield.Seen(ObservationKind.Swelling, Today.AddDays(-1))), pairing => LowArch(pairing).Adjusted(Dropped, AdjustmentKind.Flocking, All(-10)));

        Assert.Equal(AdviceKind.Flocking, advice.Kind);
        Assert.All(Enum.GetValues<Zone>(), zone => Assert.Single(advice.Zones.Where(change => change.Zone == zone).Select(change => change.Mm).Distinct()));
    }

    [Theory]
    [InlineData(-6, "Padding never cures a narrow saddle. Only the tree can be altered, or another taken.")]
    [InlineData(-14, "Padding never cures a narrow saddle. Only the tree can be altered, or another taken.")]
    [InlineData(16, "Flocking does not alter that. Only the tree can be altered, or another taken.")]
    public void Of_tree_too_narrow_or_too_wide_says_that_only_the_tree_can_be_altered(double openedMm, string said)
    {
        // With a hollow in the middle that flocking could fill, were the tree not wrong.
        var advice = Advise(TracedHorse.Settled, _ => TracedHorse.Pairing("a", openedMm).Adjusted(Dropped, AdjustmentKind.Flocking, TracedHorse.Both(Zone.Middle, -8)));

        Assert.Equal(AdviceKind.TreeOnly, advice.Kind);
        Assert.Empty(advice.Zones);
        Assert.EndsWith(said, advice.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_tree_somewhat_wide_is_not_padded_out()
    {
        var pairing = LowArch(TracedHorse.Pairing("a", 9)).Adjusted(Dropped, AdjustmentKind.Flocking, All(-6));

        var advice = Advise(TracedHorse.Settled, _ => pairing);

        Assert.True(advice.Zones.Sum(zone => zone.Mm) <= 0, advice.Text);
    }

    [Fact]
    public void Of_hollow_deeper_than_flocking_fills_says_that_only_the_tree_can_be_altered()
    {
        var advice = Advise(TracedHorse.Sessions((id, on, _) => TracedHorse.Session(id, on, dipMm: 40)));

        Assert.Equal(AdviceKind.TreeOnly, advice.Kind);
        Assert.EndsWith("a hollow of about 18 mm, and flocking takes up 10 mm at most. Only the tree can be altered, or another taken.", advice.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_tree_known_by_widths_says_that_too_little_is_known()
    {
        var advice = Advise(Larkfield.Settled);

        Assert.Equal(AdviceKind.NotKnown, advice.Kind);
        Assert.NotNull(advice.AsIs);
    }

    [Fact]
    public void Of_narrow_tree_known_by_widths_says_that_only_the_tree_can_be_altered() =>
        Assert.Equal(AdviceKind.TreeOnly, Advise(Larkfield.Settled.WithTree(285)).Kind);

    [Fact]
    public void Of_what_it_promises_is_what_the_forecast_gives_once_it_was_done()
    {
        var advice = Advise(Marked, LeftLower);
        var trends = new HorseTrends(Marked, TrendModel.Shipped);
        var last = Today.AddDays(Larkfield.Policy.HorizonDays);

        var done = LeftLower(Marked.Pairings[0]).Adjusted(Today, AdjustmentKind.Flocking, [.. advice.Zones]);
        Assert.True(PairingForecast.TryMake(new PairingFit(done, trends, Larkfield.Policy, Today, (Today, last)), last, out var forecast));

        Assert.Equal(forecast.At(Today).OutOn, advice.Adjusted!.ProbabilityOut);
        Assert.Equal(forecast.ReachedOn(.2, Today), advice.Adjusted.RiskLimitOn);
        Assert.Equal(forecast.ReachedOn(.5, Today), advice.Adjusted.EvenOn);
    }

    // No adjustment of one zone or of a side, by one or two steps, that the full forecast likes noticeably better.
    [Fact]
    public void Of_nothing_near_by_lasts_noticeably_longer()
    {
        var advice = Advise(Marked, LeftLower);
        var trends = new HorseTrends(Marked, TrendModel.Shipped);
        var last = Today.AddDays(Larkfield.Policy.HorizonDays);
        var near = from zone in Enum.GetValues<Zone>() from side in Enum.GetValues<Side>() from mm in new[] { -2, 2 } select new ZoneChange(side, zone, mm);

        foreach (var one in near)
        {
            var done = LeftLower(Marked.Pairings[0]).Adjusted(Today, AdjustmentKind.Flocking, [.. advice.Zones, one]);
            Assert.True(PairingForecast.TryMake(new PairingFit(done, trends, Larkfield.Policy, Today, (Today, last)), last, out var forecast));
            var days = Enumerable.Range(0, Larkfield.Policy.HorizonDays).Sum(day => 1 - forecast.At(Today.AddDays(day)).OutBy);
            Assert.True(days < advice.Adjusted!.ExpectedDays + 12, $"{one}: {days} days instead of {advice.Adjusted.ExpectedDays}");
        }
    }

    [Fact]
    public void Of_the_same_gives_the_same() =>
        Assert.Equivalent(Advise(Marked, LeftLower), Advise(Marked, LeftLower), strict: true);

    private static PanelAdvice Advise(HorseFacts facts) => Advise(facts, pairing => pairing);

    private static PanelAdvice Advise(HorseFacts facts, Func<PairingFact, PairingFact> change, Filling filling = Filling.Wool) =>
        Adviser.Of(change(facts.Pairings[0]) with { Filling = filling }, new HorseTrends(facts, TrendModel.Shipped), Larkfield.Policy, Today);

    private static PairingFact LeftLower(PairingFact pairing) =>
        pairing.Adjusted(Dropped, AdjustmentKind.Flocking, [.. Enum.GetValues<Zone>().Select(zone => new ZoneChange(Side.Left, zone, -5))]);

    private static ZoneChange[] All(double mm) => [.. Enum.GetValues<Zone>().SelectMany(zone => TracedHorse.Both(zone, mm))];

    private static PairingFact LowArch(PairingFact pairing) => pairing with
    {
        TreeShapes = [.. pairing.TreeShapes.Select(tree => tree with { Stations = [.. tree.Stations.Select(station => station with { ChannelHeightMm = station.ChannelHeightMm - 25 })] })],
    };
}
