using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Checks;

public class PolicySettingsTests
{
    [Fact]
    public void All_names_every_setting_once() => Assert.Equal(
        typeof(CheckPolicy).GetProperties().Where(property => property.SetMethod is not null).Select(property => property.Name).Order(StringComparer.OrdinalIgnoreCase),
        PolicySettings.All.Select(setting => setting.Name).Order(StringComparer.OrdinalIgnoreCase),
        StringComparer.OrdinalIgnoreCase);

    [Fact]
    public void All_take_their_defaults_and_go_together()
    {
        Assert.All(PolicySettings.All, setting => Assert.True(setting.Takes(setting.Of(new CheckPolicy())), setting.Name));
        Assert.Empty(PolicySettings.CrossedIn(new CheckPolicy()));
    }

    // What stops everything, and what the engine counts with, is nobody's to loosen for one horse.
    [Theory]
    [InlineData("vetFirstBehaviourScore")]
    [InlineData("outProbability")]
    [InlineData("watchProbability")]
    [InlineData("clearProbability")]
    [InlineData("surpriseHazardPerDay")]
    [InlineData("treeMeasureSdMm")]
    [InlineData("horizonDays")]
    [InlineData("moveDays")]
    public void Vet_first_rules_and_engine_internals_are_the_services_alone(string name) => Assert.Equal(PolicyLevel.Service, PolicySettings.Find(name)!.Narrowest);

    [Theory]
    [InlineData("riskLimit", .25, true)]
    [InlineData("riskLimit", .009, false)]
    [InlineData("riskLimit", .91, false)]
    [InlineData("riskLimit", double.NaN, false)]
    [InlineData("layOffDays", 7, true)]
    [InlineData("layOffDays", 6, false)]
    [InlineData("layOffDays", 28.5, false)]
    public void Takes_what_is_in_the_range_and_whole_where_it_is_counted(string name, double value, bool takes) => Assert.Equal(takes, PolicySettings.Find(name)!.Takes(value));

    [Fact]
    public void With_changes_what_it_names_and_nothing_else()
    {
        var policy = new CheckPolicy().With(Own(("riskLimit", .3), ("growingFitWeeks", 10)));
        Assert.Equal(new CheckPolicy { RiskLimit = .3, GrowingFitWeeks = 10 }, policy);
        Assert.Equal(new CheckPolicy(), new CheckPolicy().With(PolicyValues.None));
    }

    [Fact]
    public void CrossedIn_names_what_has_to_be_less()
    {
        var crossed = Assert.Single(PolicySettings.CrossedIn(new CheckPolicy { RiskLimit = .5 }));
        Assert.Equal(("riskLimit", "riskClosing"), (crossed.Lower.Name, crossed.Higher.Name));
        Assert.Single(PolicySettings.CrossedIn(new CheckPolicy { LoadNotedFrom = .2 }));
    }

    [Fact]
    public void Assess_pairing_goes_by_its_own_settings_and_the_horse_by_the_yards()
    {
        var yard = Larkfield.Policy with { SteadyFitWeeks = 20, SteadyMeasureDays = 30 };
        var unwatched = Larkfield.Pairing("a", 300) with { TreeShapes = [] };
        var facts = Larkfield.Settled with { Pairings = [unwatched, unwatched with { Id = "b", SaddleId = "saddle-b", OwnPolicy = Own(("steadyFitWeeks", 10), ("windowDays", 14)) }] };

        var wanted = HorseAssessment.Assess(facts, yard, BackTracker.Engine.Trends.TrendModel.Shipped, Larkfield.Today).Wanted;

        var (one, other) = (wanted.Single(want => want is { Kind: CheckKind.Fit, PairingId: "a" }), wanted.Single(want => want is { Kind: CheckKind.Fit, PairingId: "b" }));
        var from = new DateOnly(2026, 3, 1);
        Assert.Equal((from.AddDays(140), from.AddDays(140 + 28)), (one.Days.DueOn, one.Days.ClosesOn));
        Assert.Equal((from.AddDays(70), from.AddDays(70 + 14)), (other.Days.DueOn, other.Days.ClosesOn));
        Assert.Equal(Larkfield.Today.AddDays(-7 + 30), wanted.Single(want => want.Kind == CheckKind.Remeasure).Days.DueOn);
    }

    [Fact]
    public void Assess_risk_of_a_pairing_is_held_against_its_own_limit()
    {
        var facts = Larkfield.Settled.WithTree(288);
        Assert.Contains(facts.Assess().Wanted.SelectMany(want => want.Reasons), reason => reason is { Cause: Cause.Risk, Value: .2 });
        var bold = facts.With(pairing => pairing with { OwnPolicy = Own(("riskLimit", .8), ("riskClosing", .9)) });
        Assert.DoesNotContain(bold.Assess().Wanted.SelectMany(want => want.Reasons), reason => reason.Cause == Cause.Risk && reason.On == Larkfield.Today);
    }

    private static PolicyValues Own(params (string Name, double Value)[] values) => new(values.ToDictionary(value => value.Name, value => value.Value));
}
