using BackTracker.Engine.Assessments;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Commissions;

public class DeliveryOutlookTests
{
    private static readonly DateOnly Today = Larkfield.Today;
    private static readonly DateOnly Delivery = Today.AddDays(70);

    [Fact]
    public void Days_steady_back_and_tree_of_its_width_fits_on_every_day()
    {
        var days = Of(Larkfield.Settled, 302).Days();
        Assert.Equal([Delivery, Delivery.AddDays(91), Delivery.AddDays(182)], days.Select(day => day.On));
        Assert.All(days, day => Assert.InRange(day.ProbabilityFits!.Value, .8, 1));
        Assert.True(days[0].ProbabilityFits > days[2].ProbabilityFits, "The further off the less sure.");
    }

    // The expected width and its band are the trend's own.
    [Fact]
    public void Days_back_is_the_trends_own_forecast()
    {
        var facts = Widening();
        var trend = new HorseTrends(facts, TrendModel.Shipped).TryGet(Larkfield.T13, out var fitted) ? fitted : null;
        var back = Assert.Single(Of(facts, 300).Days()[0].Back);
        var level = trend!.On(Delivery);
        Assert.Equal((level.Mean, level.Quantile(.1), level.Quantile(.9)), (back.MeanMm, back.LowMm, back.HighMm));
    }

    // Exercise with a known answer: the chance to fit at delivery is that of the width alone, in closed form from its own mixture.
    [Fact]
    public void AsPlanned_of_one_width_is_the_chance_of_that_width()
    {
        var facts = Widening();
        var numbers = Numbers(facts, 300, Delivery);
        Assert.Equal(1 - numbers.ProbabilityOut, Of(facts, 300).AsPlanned()!.Value.ProbabilityFitsOnDelivery, 9);
    }

    [Fact]
    public void Best_horse_that_widens_is_wider_than_what_was_measured_and_fits_longer()
    {
        var outlook = Of(Widening(), 300);
        var (planned, best) = (outlook.AsPlanned()!.Value, outlook.Best()!.Value);
        Assert.True(best.OpenMm > 0, "It is opened for the back that comes.");
        Assert.True(best.ProbabilityFitsOnDelivery > planned.ProbabilityFitsOnDelivery);
        Assert.True(best.ProbabilityFitsAtEnd > planned.ProbabilityFitsAtEnd);
    }

    // Planned as measured; too wide; too narrow by nearly all that is looked at.
    [Theory, InlineData(300), InlineData(330), InlineData(268)]
    public void Best_of_all_openings_to_the_millimetre_is_found_where_it_is(double planned)
    {
        var facts = Widening();
        var best = Of(facts, planned).Best()!.Value;
        var days = Enumerable.Range(-20, 41).ToDictionary(open => open, open => Of(facts, planned + (2 * open)).AsPlanned()!.Value);
        var likely = days.Where(d => d.Value.ProbabilityFitsOnDelivery >= 1 - Larkfield.Policy.RiskLimit).ToList();
        var longest = likely.GroupBy(d => d.Value.LikelyUntil ?? DateOnly.MaxValue).MaxBy(same => same.Key)!;
        Assert.Equal(longest.MaxBy(d => d.Value.ProbabilityFitsAtEnd).Key, best.OpenMm);
    }

    [Fact]
    public void Best_tree_that_is_right_already_stays_as_it_is_within_a_few_millimetres() =>
        Assert.InRange(Of(TracedHorse.Settled, TracedHorse.Settled.Pairings[0]).Best()!.Value.OpenMm, -4, 4);

    // Hundreds of mm off nothing fits, whichever way: what is found is no worse than any opening.
    [Theory, InlineData(120), InlineData(220), InlineData(380), InlineData(480)]
    public void Best_tree_that_cannot_be_opened_far_enough_is_the_likeliest(double planned)
    {
        var facts = Widening();
        var best = Of(facts, planned).Best()!.Value;
        Assert.All(Enumerable.Range(-20, 41), open =>
            Assert.True(Of(facts, planned + (2 * open)).AsPlanned()!.Value.ProbabilityFitsOnDelivery <= best.ProbabilityFitsOnDelivery + 1e-12, $"{open} mm is likelier than {best.OpenMm}."));
    }

    [Fact]
    public void Best_horse_that_was_never_measured_is_not_known()
    {
        var outlook = Of(Larkfield.Blank with { Pairings = [Larkfield.Pairing("a", 300)] }, 300);
        Assert.Equal((null, null), (outlook.AsPlanned(), outlook.Best()));
        Assert.All(outlook.Days(), day => Assert.Null(day.ProbabilityFits));
    }

    // A tree recorded from a day to come is laid on the back all the same.
    [Fact]
    public void Days_shape_of_a_later_day_counts_as_there()
    {
        var pairing = Larkfield.Pairing("a", 302) with { From = Delivery, TreeShapes = [new TreeShapeFact("ordered", Delivery, [new TreeWidth(Station.Of(13), 302)])] };
        Assert.NotNull(Of(Larkfield.Settled, pairing).Days()[0].ProbabilityFits);
    }

    private static HorseFacts Widening() => Larkfield.Settled with
    {
        Sessions = [.. Enumerable.Range(0, 10).Select(i => Larkfield.Session($"s{i}", Today.AddDays(-3 - (14 * (9 - i))), 290 + (1.5 * i)))],
    };

    private static DeliveryOutlook Of(HorseFacts facts, double treeWidth) => Of(facts, Larkfield.Pairing("a", treeWidth));

    private static DeliveryOutlook Of(HorseFacts facts, PairingFact pairing) => new(pairing, new HorseTrends(facts, TrendModel.Shipped), Larkfield.Policy, Today, Delivery);

    private static FindingNumbers Numbers(HorseFacts facts, double treeWidth, DateOnly day)
    {
        var pairing = Larkfield.Pairing("a", treeWidth) with { From = Today };
        return new PairingFit(pairing, new HorseTrends(facts, TrendModel.Shipped), Larkfield.Policy, Today, (Today, day)).On(day).Single(f => f.Key.Measure == Measure.Width150).Numbers!.Value;
    }
}
