using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Simulation;

/// <summary>Something that changed the pace of a simulated back.</summary>
/// <param name="Day">Its day.</param>
/// <param name="Kind">What it was.</param>
/// <param name="IsKnown">Whether the yard writes it down on its day.</param>
public readonly record struct SimulatedEvent(int Day, EventKind Kind, bool IsKnown);

/// <summary>A simulated horse: its true back day by day, and what is read when somebody measures it.</summary>
/// <param name="Seed">Seed of the herd.</param>
/// <param name="Index">Which horse of its class.</param>
/// <param name="Class">What it does.</param>
/// <param name="WidthsMm">True width on each day from 0 on, mm.</param>
/// <param name="Events">What changed its pace, in order.</param>
/// <param name="SessionSdMm">Scatter from session to session, mm.</param>
public sealed record SimulatedHorse(
    int Seed, int Index, SimulatedClass Class, IReadOnlyList<double> WidthsMm, IReadOnlyList<SimulatedEvent> Events, double SessionSdMm)
{
    private const double RepeatSdMm = 2;
    private const double OutlierShare = .03;
    private const double OutlierSdMm = 15;
    private const double UnknownShare = .1;
    private const double WorkedShare = .3;
    private const double WorkedBiasMm = 2.5;
    private static readonly int[] Repeats = [1, 2, 2, 3];

    /// <summary>The first day of a simulated life.</summary>
    public static DateOnly FirstDay { get; } = new(2001, 1, 1);

    /// <summary>What is measured: one width.</summary>
    public static Metric Measured { get; } = Metric.Width(Station.Of(13), 150);

    /// <summary>The date of a simulated day.</summary>
    public static DateOnly Date(int day) => FirstDay.AddDays(day);

    /// <summary>
    /// The session of a day: one to three repeats. Where nobody said whether the horse had worked, three in ten had and read wider. One session in 33 is a
    /// blunder. Whoever measures on that day reads just this.
    /// </summary>
    public SessionFact SessionOn(int day)
    {
        var draws = DrawsOf(Purpose.Session, day);
        var repeats = Repeats[draws.Below(Repeats.Length)];
        var unknown = draws.Happens(UnknownShare);
        var mean = WidthsMm[day] + draws.Off(SessionSdMm);
        mean += draws.Happens(WorkedShare) && unknown ? WorkedBiasMm : 0;
        mean += draws.Happens(OutlierShare) ? draws.Off(OutlierSdMm) : 0;
        var readings = new Reading[repeats];
        for (var i = 0; i < repeats; i++)
            readings[i] = new Reading(Measured, mean + draws.Off(RepeatSdMm));
        return new SessionFact($"session-{day}", Date(day), unknown ? ExerciseState.Unknown : ExerciseState.Before, readings);
    }

    /// <summary>The days on which a yard without any plan measures, up to a last one: every 25 to 55 days on average, with gaps now and then.</summary>
    public IReadOnlyList<int> UnplannedDays(int last)
    {
        var draws = DrawsOf(Purpose.UnplannedDays, 0);
        var (mean, days) = (draws.In(new Range(25, 55)), new List<int>());
        for (var day = draws.Below(20); day <= last; day += Math.Max(7, (int)draws.WaitOfFour(mean)))
        {
            days.Add(day);
            day += draws.Happens(.08) ? (int)draws.In(new Range(90, 200)) : 0;
        }
        return days;
    }

    /// <summary>By how much a tree that is set to a width on a day differs from it, mm: the tree is measured too.</summary>
    public double TreeOffMm(int day, double sdMm) => DrawsOf(Purpose.Tree, day).Off(sdMm);

    /// <summary>What the yard knows of the horse by itself; its age tells whether it grows.</summary>
    internal HorseFacts Facts => new(
        "horse", "the horse", FirstDay.AddYears(Class == SimulatedClass.Growing ? -3 : -10), HorseStatus.Active, [], [],
        [.. Events.Where(item => item.IsKnown).Select(item => new EventFact($"event-{item.Day}", Date(item.Day), item.Kind))], [], [], []);

    /// <summary>The same with the sessions of some days.</summary>
    internal HorseFacts MeasuredOn(IReadOnlyList<int> days) => Facts with { Sessions = [.. days.Select(SessionOn)] };

    private Draws DrawsOf(Purpose purpose, int day) => Draws.Of(Seed, (int)Class, Index, (int)purpose, day);

    private enum Purpose
    {
        Session = 1,
        UnplannedDays,
        Tree,
    }
}
