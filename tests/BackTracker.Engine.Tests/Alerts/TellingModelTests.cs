using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using CsCheck;

namespace BackTracker.Engine.Tests.Alerts;

/// <summary>Telling over the whole life of an alert, drawn from a seed, against a plain account of who heard what.</summary>
public class TellingModelTests
{
    private static readonly AlertPolicy Policy = new();

    [Fact]
    public void Decide_over_any_life_tells_nothing_twice_and_settled_only_to_the_told() => Gen.Int[0, 1_000_000].Sample(seed => Live(seed, (life, alert, told) =>
    {
        Assert.True(life.Account.Add((told.ReceiverId, alert.Change)), "told twice");
        if (told.News == AlertNews.Settled)
            Assert.Contains(told.ReceiverId, life.Heard.Keys);
    }), iter: 2000);

    [Fact]
    public void Decide_over_any_life_wakes_nobody_but_for_a_vet_first_sign() => Gen.Int[0, 1_000_000].Sample(seed => Live(seed, (life, alert, told) =>
    {
        if (life.Now.Occasion == TellOccasion.AtOnce && Policy.IsNight(life.Now.Time))
            Assert.True(alert.Problem.IsVetFirst && told.News != AlertNews.Settled);
    }), iter: 2000);

    [Fact]
    public void Decide_over_any_life_leaves_nobody_who_was_told_without_its_end() => Gen.Int[0, 1_000_000].Sample(seed =>
    {
        var life = Live(seed, (_, _, _) => { });
        var settled = life.Alert with { State = AlertState.Settled, News = AlertNews.Settled, Change = life.Alert.Change + 1 };
        var last = Telling.Decide(settled, life.Receivers, life.Heard, [], life.Now with { Occasion = TellOccasion.Digest }, Policy);
        Assert.Equal(life.Heard.Keys.Order(), last.Where(decision => decision.Verdict == Verdict.Told).Select(decision => decision.ReceiverId).Order());
    }, iter: 2000);

    private static Life Live(int seed, Action<Life, AlertToTell, TellDecision> inspect)
    {
        var life = new Life(new Random(seed));
        for (var step = 0; step < 25; step++)
        {
            life.Step();
            foreach (var told in Telling.Decide(life.Alert, life.Receivers, life.Heard, life.Quiet, life.Now, Policy).Where(decision => decision.Verdict == Verdict.Told))
            {
                inspect(life, life.Alert, told);
                life.Heard[told.ReceiverId] = life.Alert.Change;
            }
        }
        return life;
    }

    private sealed class Life
    {
        private readonly Random _draw;

        public Life(Random draw)
        {
            _draw = draw;
            Alert = TellingTests.Alert((Cause)draw.Next(Enum.GetValues<Cause>().Length), (Urgency)draw.Next(3));
            Receivers = [.. Enumerable.Range(0, draw.Next(1, 6)).Select(i => new Receiver($"r{i}", (ReceiverRole)draw.Next(4), $"p{i}", []))];
            Now = new Moment(new DateOnly(2026, 3, 1), new TimeOnly(12, 0), TellOccasion.AtOnce);
        }

        public AlertToTell Alert { get; private set; }

        public IReadOnlyList<Receiver> Receivers { get; }

        public Moment Now { get; private set; }

        public IReadOnlyList<QuietPeriod> Quiet { get; private set; } = [];

        public Dictionary<string, long> Heard { get; } = [];

        public HashSet<(string, long)> Account { get; } = [];

        public void Step()
        {
            var digest = _draw.Next(4) == 0;
            Now = new Moment(
                Now.Today.AddDays(_draw.Next(2)), digest ? Policy.DigestAt : new TimeOnly(_draw.Next(24), _draw.Next(60)), digest ? TellOccasion.Digest : TellOccasion.AtOnce);
            Quiet = _draw.Next(5) == 0 ? [new QuietPeriod("", null, Now.Today.AddDays(_draw.Next(4)), "away")] : [];
            Alert = (Alert.State, _draw.Next(8)) switch
            {
                (AlertState.Raised, 0) => Alert with { State = AlertState.Acknowledged },
                (AlertState.Raised, 1) when Alert.OverdueSince is null => Alert with { OverdueSince = Now.Today, News = AlertNews.Overdue, Change = Alert.Change + 1 },
                (not AlertState.Settled, 2) => Alert with { News = AlertNews.Changed, Change = Alert.Change + 1 },
                (not AlertState.Settled, 3) => Alert with { Comers = [$"p{_draw.Next(6)}"] },
                (not AlertState.Settled, 4) when _draw.Next(3) == 0 => Alert with { State = AlertState.Settled, News = AlertNews.Settled, Change = Alert.Change + 1 },
                _ => Alert,
            };
        }
    }
}
