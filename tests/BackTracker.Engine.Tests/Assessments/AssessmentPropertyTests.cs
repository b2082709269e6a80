using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using CsCheck;

namespace BackTracker.Engine.Tests.Assessments;

public class AssessmentPropertyTests
{
    private static readonly Gen<int> Seeds = Gen.Int[0, 1_000_000];

    [Fact]
    public void Assess_after_its_decisions_were_carried_out_decides_nothing() => Seeds.Sample(
        seed => Replay(seed, (_, applied, day) => Assert.Empty(applied.Assess(day).Decisions)), iter: 150, threads: 1);

    [Fact]
    public void Assess_any_history_keeps_one_standing_check_for_each_pairing_and_kind() => Seeds.Sample(
        seed => Replay(seed, (_, applied, _) => Assert.All(
            applied.Checks.Where(Stands).GroupBy(check => (check.PairingId, check.Kind)), same => Assert.Single(same))), iter: 150, threads: 1);

    [Fact]
    public void Assess_any_history_never_moves_a_booked_check_and_never_revises_without_news() => Seeds.Sample(
        seed => Replay(seed, (before, applied, _) => Assert.All(before.Checks.Where(Stands), check => AssertCalm(check, applied.Checks.Single(now => now.Id == check.Id)))),
        iter: 150, threads: 1);

    [Fact]
    public void Assess_facts_in_another_order_gives_the_same_decisions() => Seeds.Sample(seed =>
    {
        var facts = new RandomHorse(seed).Make();
        var day = RandomHorse.First.AddDays(700);
        Assert.Equal(Told(facts.Assess(day)), Told(Reversed(facts).Assess(day)));
    }, iter: 150, threads: 1);

    [Fact]
    public void Random_histories_reach_every_cause_and_every_decision()
    {
        var causes = new HashSet<Cause>();
        var decisions = new HashSet<string>();
        for (var seed = 0; seed < 120; seed++)
        {
            Replay(seed, (before, applied, day) =>
            {
                causes.UnionWith(applied.Checks.SelectMany(check => check.Reasons).Select(reason => reason.Cause));
                decisions.UnionWith(before.Assess(day).Decisions.Select(decision => decision.GetType().Name));
            });
        }
        Assert.Equal(Enum.GetValues<Cause>(), causes.Order());
        Assert.Equal(["Complete", "Drop", "Open", "Revise"], decisions.Order());
    }

    private static void Replay(int seed, Action<HorseFacts, HorseFacts, DateOnly> inspect)
    {
        var horse = new RandomHorse(seed);
        var facts = horse.Make();
        var day = RandomHorse.First.AddDays(horse.Next(1000));
        for (var step = 0; step < 6; step++)
        {
            var applied = facts.Apply(facts.Assess(day));
            inspect(facts, applied, day);
            day = day.AddDays(horse.Next(30));
            facts = horse.Live(applied, day);
        }
    }

    private static bool Stands(CheckFact check) => check.State is CheckState.Open or CheckState.Booked;

    private static void AssertCalm(CheckFact before, CheckFact now)
    {
        if (before.State == CheckState.Booked)
            Assert.Equal(before.Days with { Urgency = now.Days.Urgency }, now.Days);
        if (Stands(now) && !ReferenceEquals(before, now))
            Assert.False(before.Days == now.Days && Keys(before).SetEquals(Keys(now)));
    }

    private static HashSet<(Cause, string?, string?, string?)> Keys(CheckFact check) =>
        [.. check.Reasons.Select(reason => (reason.Cause, reason.Measure, reason.Station, reason.SourceId))];

    private static HorseFacts Reversed(HorseFacts facts) => facts with
    {
        Sessions = [.. facts.Sessions.Reverse()],
        Phases = [.. facts.Phases.Reverse()],
        Events = [.. facts.Events.Reverse()],
        Observations = [.. facts.Observations.Reverse()],
        Pairings = [.. facts.Pairings.Reverse()],
        Rides = [.. facts.Rides.Reverse()],
        Commissions = [.. facts.Commissions.Reverse()],
    };

    private static string Told(Assessment assessment) => string.Join('\n', assessment.Decisions.Select(decision => decision switch
    {
        CheckDecision.Open open => $"{open.Check.Kind} {open.Check.PairingId} {open.Check.Days} {string.Join(' ', open.Check.Reasons)}",
        _ => decision.ToString(),
    }));
}
