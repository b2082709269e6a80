using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Tests.Assessments;
using CsCheck;

namespace BackTracker.Engine.Tests.Alerts;

public class AlertLifeModelTests
{
    private static readonly Gen<int> Seeds = Gen.Int[0, 1_000_000];

    [Fact]
    public void Decide_any_history_twice_decides_nothing_the_second_time() =>
        Seeds.Sample(seed => Replay(seed, (horse, _) => Assert.Empty(horse.Again())), iter: 120, threads: 1);

    [Fact]
    public void Decide_any_history_keeps_one_open_alert_for_each_problem_and_no_other() => Seeds.Sample(seed => Replay(seed, (horse, _) =>
        Assert.Equal(horse.Problems().Select(problem => problem.Key.ToString()), horse.Open.Select(alert => alert.Problem.Key.ToString()).Order(StringComparer.Ordinal))),
        iter: 120, threads: 1);

    [Fact]
    public void Decide_any_history_keeps_an_alert_while_a_vet_first_sign_is_open() => Seeds.Sample(seed => Replay(seed, (horse, _) =>
        Assert.Equal(horse.Facts.Assess(horse.Today) is { VetFirst: true } && horse.Facts.Status == HorseStatus.Active, horse.Open.Any(alert => alert.Problem.IsVetFirst))),
        iter: 120, threads: 1);

    /// <summary>A saddle was booked before the sign was seen, and is still wanted sooner once the vet has cleared it.</summary>
    [Fact]
    public void Decide_a_booking_that_came_too_late_for_a_vet_first_sign_names_it_no_more_once_it_is_cleared() => Replay(634322, (horse, _) =>
        Assert.Equal(horse.Facts.Assess(horse.Today).VetFirst, horse.Open.Any(alert => alert.Problem.IsVetFirst)));

    [Fact]
    public void Random_histories_reach_every_change_and_every_concern()
    {
        var seen = new HashSet<string>();
        for (var seed = 0; seed < 200; seed++)
        {
            Replay(seed, (horse, changes) =>
            {
                seen.UnionWith(changes.Select(change => change is AlertChange.Report report ? report.News.ToString() : change.GetType().Name));
                seen.UnionWith(horse.Open.Select(alert => alert.Problem.Key.Concern.ToString()));
            });
        }
        Assert.Equal(["Booking", "Changed", "Check", "Commission", "Overdue", "Raise", "Refresh", "Reopen", "Settle"], seen.Order(StringComparer.Ordinal));
    }

    private static void Replay(int seed, Action<KeptAlerts, IReadOnlyList<AlertChange>> inspect)
    {
        var random = new RandomHorse(seed);
        var horse = new KeptAlerts(random.Make(), RandomHorse.First.AddDays(random.Next(1000)));
        for (var step = 0; step < 6; step++)
        {
            inspect(horse, horse.Assess());
            if (horse.Open.Count > 0 && random.Next(3) == 0)
                horse.Acknowledge(horse.Open[random.Next(horse.Open.Count)].Id);
            horse.Today = horse.Today.AddDays(random.Next(30));
            horse.Facts = random.Live(BookedWhenDue(horse.Facts, random), horse.Today);
            if (random.Next(3) == 0)
                horse.Facts = horse.Facts.With(Larkfield.Seen(ObservationKind.Rub, horse.Today) with { Id = $"rub-{step}" });
        }
    }

    // Booked in good time, so that what is seen later can overtake the booking.
    private static HorseFacts BookedWhenDue(HorseFacts facts, RandomHorse random) => facts with
    {
        Checks = [.. facts.Checks.Select(check => check.State == CheckState.Open && random.Next(2) == 0 ? check with { State = CheckState.Booked, BookedOn = check.Days.DueOn } : check)],
    };
}
