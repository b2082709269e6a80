using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Assessments;

/// <summary>Histories drawn from a seed: every kind of fact, days that clash, nothing measured, one point, ended pairings.</summary>
internal sealed class RandomHorse(int seed)
{
    private readonly Random _draw = new(seed);

    // Of their own, so that the histories of all seeds stay what they were before there were any.
    private readonly Random _commissions = new(~seed);

    // Half of the horses are quiet, so that forecasts that are only wide occur.
    private readonly double _spreadMm = seed % 2 == 0 ? 4 : 40;

    public static readonly DateOnly First = new(2024, 1, 15);

    public HorseFacts Make() => Larkfield.Blank with
    {
        BornOn = Chance(.3) ? null : new DateOnly(_draw.Next(2015, 2024), 2, 28).AddDays(_draw.Next(3)),
        Status = Chance(.05) ? HorseStatus.Sold : HorseStatus.Active,
        Sessions = Several(14, Session),
        Phases = Several(4, i => new PhaseFact($"p{i}", Day(), Any<Phase>(), Any<Occurrence>())),
        Events = Several(4, i => new EventFact($"e{i}", Day(), Any<EventKind>(), Any<Occurrence>())),
        Observations = Several(2, Observation),
        Pairings = Several(3, Pairing),
        Rides = Several(200, Ride),
        Commissions = [.. Enumerable.Range(0, _commissions.Next(4) / 3).Select(Commission)],
        Closed = new Closures(Several(2, _ => Any<DayOfWeek>()), Several(9, _ => Day())),
    };

    /// <summary>What people do between two assessments: measure, see, close, book, complete, postpone, drop.</summary>
    public HorseFacts Live(HorseFacts facts, DateOnly day)
    {
        if (Chance(.4))
            facts = facts.With(Session(1000 + day.DayNumber) with { On = day });
        if (Chance(.1))
            facts = facts.With(Observation(1000 + day.DayNumber) with { On = day, Outcome = null });
        if (Chance(.5))
            facts = facts with { Observations = [.. facts.Observations.Select(seen => seen.Outcome is null && seen.On <= day ? seen with { Outcome = new OutcomeFact(day, Any<OutcomeRole>()) } : seen)] };
        return facts with { Checks = [.. facts.Checks.Select(check => Handle(check, day))] };
    }

    public int Next(int below) => _draw.Next(below);

    private CheckFact Handle(CheckFact check, DateOnly day) => (check.State, _draw.Next(10)) switch
    {
        (CheckState.Open, 0) => check with { State = CheckState.Booked, BookedOn = day.AddDays(10) },
        (CheckState.Open, 1) => check with { PostponedUntil = day.AddDays(12) },
        (CheckState.Open, 2) => check with { State = CheckState.Dropped, DroppedByPersonOn = day },
        (CheckState.Open or CheckState.Booked, 3 or 4) => check with { State = CheckState.Done, DoneOn = day, BookedOn = null },
        (CheckState.Booked, 5) => check with { State = CheckState.Open, BookedOn = null },
        _ => check,
    };

    private SessionFact Session(int i)
    {
        var stations = Several(3, _ => Station.Of(_draw.Next(2) == 0 ? 13 : _draw.Next(5, 19)));
        Reading[] readings = [.. stations.SelectMany(station => Enumerable.Range(0, _draw.Next(1, 4)).Select(_ =>
            new Reading(Metric.Width(station, Chance(.8) ? 150 : 30), 300 + (_spreadMm * (_draw.NextDouble() - .5)))))];
        return new SessionFact($"s{i}", Day(), Any<ExerciseState>(), [.. readings, .. Body(), .. Uneven()]);
    }

    private IEnumerable<Reading> Body() => Chance(.7) ? [] :
    [
        new(new Metric(Quantity.Girth), 1900 + _draw.Next(120)),
        new(new Metric(Quantity.Weight), 480 + _draw.Next(90)),
        new(new Metric(Quantity.ConditionScore1to9), 4 + (.5 * _draw.Next(5))),
    ];

    // Even or very uneven, so that some changes are more than noise.
    private IEnumerable<Reading> Uneven() => Chance(.5) ? [] : [new(new Metric(Quantity.Asymmetry, Station.Of(13), 150), Chance(.6) ? 0 : 30)];

    private RideFact Ride(int i) => new($"r{i}", Day(), Chance(.8) ? "h1" : "h2", $"x{_draw.Next(3)}", 10 + _draw.Next(110));

    private ObservationFact Observation(int i)
    {
        var on = Day();
        var kind = Any<ObservationKind>();
        int? score = kind == ObservationKind.RiddenBehaviourScore ? _draw.Next(25) : null;
        OutcomeFact? outcome = Chance(.6) ? new OutcomeFact(on.AddDays(_draw.Next(40)), Any<OutcomeRole>()) : null;
        return new ObservationFact($"o{i}", on, kind, Any<ObservationSeverity>(), score, outcome);
    }

    private PairingFact Pairing(int i)
    {
        var from = Day();
        return new PairingFact(
            $"a{i}", $"x{i}", $"Saddle {i}", from, Chance(.15) ? from.AddDays(_draw.Next(400)) : null, Chance(.2) ? 0 : Chance(.5) ? null : 200,
            Several(3, j => new TreeShapeFact($"t{j}", Day(), Several(4, _ => new TreeWidth(Station.Of(_draw.Next(5, 19)), 280 + (_spreadMm < 5 ? 8 + _draw.Next(6) : _draw.Next(50)))).DistinctBy(width => width.Station).ToList())),
            Several(3, j => new AdjustmentFact($"j{j}", Day(), Any<AdjustmentKind>(), [new ZoneChange(Any<Side>(), Any<Zone>(), _draw.Next(-6, 7))])),
            FitTolerances.Default, new Dictionary<string, Severity> { ["width150@T13"] = Any<Severity>() })
        {
            Fitters = Several(2, j => new FitterFact($"f{j}", _draw.Next(0, 60), Several(2, _ => Any<DayOfWeek>()))),
            Filling = Any<Filling>(),
            MadeOn = Chance(.3) ? from.AddDays(-_draw.Next(200)) : null,
        };
    }

    // Under way on most days that are looked at; some are never delivered.
    private CommissionFact Commission(int i)
    {
        var ordered = First.AddDays(_commissions.Next(800));
        var (cut, over) = (ordered.AddDays(_commissions.Next(200)), ordered.AddDays(200 + _commissions.Next(300)));
        TreeWidth[] tree = [new(Station.Of(13), 290 + _commissions.Next(30))];
        return new CommissionFact(
            $"k{i}", ordered.AddDays(_commissions.Next(400)),
            [new(CommissionStage.Ordered, ordered), new(CommissionStage.TreeCut, cut), new(_commissions.Next(2) == 0 ? CommissionStage.Passed : CommissionStage.Delivered, over)],
            Larkfield.Pairing($"k{i}", 290 + _commissions.Next(30)),
            [new TreeShapeFact($"kt{i}", ordered.AddDays(_commissions.Next(300)), tree)]);
    }

    private DateOnly Day() => First.AddDays(_draw.Next(1000));

    private bool Chance(double probability) => _draw.NextDouble() < probability;

    private T Any<T>() where T : struct, Enum => Enum.GetValues<T>()[_draw.Next(Enum.GetValues<T>().Length)];

    private List<T> Several<T>(int most, Func<int, T> make) => [.. Enumerable.Range(0, _draw.Next(most + 1)).Select(make)];
}
