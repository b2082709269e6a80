using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Simulation;

/// <summary>Makes simulated horses. Every size and pace is our choice: nobody has published how fast backs change.</summary>
public static class SimulatedHerd
{
    private const double KnownShare = .6;
    private const double ReturnShare = .6;
    private const double YearDays = 365.25;

    /// <summary>The classes in order.</summary>
    public static IReadOnlyList<SimulatedClass> Classes { get; } = Enum.GetValues<SimulatedClass>();

    /// <summary>A herd with as many horses of every class, class by class.</summary>
    /// <param name="seed">Which herd.</param>
    /// <param name="ofEachClass">Horses of every class.</param>
    /// <param name="days">Days of each life.</param>
    public static IEnumerable<SimulatedHorse> Of(int seed, int ofEachClass, int days) =>
        from kind in Classes from index in Enumerable.Range(0, ofEachClass) select Horse(seed, kind, index, days);

    /// <summary>One horse: equal arguments make an equal horse.</summary>
    public static SimulatedHorse Horse(int seed, SimulatedClass kind, int index, int days)
    {
        var draws = Draws.Of(seed, (int)kind, index);
        var (sessionSd, events) = (draws.In(new Range(1.3, 2.2)), new List<SimulatedEvent>());
        var (season, change) = (Season(draws, kind), Change(draws, kind, events));
        // Last, because it alone draws as often as there are days.
        var wander = Wander(draws, days);
        double[] widths = [.. wander.Select((level, day) => level + season(day) + change(day))];
        return new SimulatedHorse(seed, index, kind, widths, events, sessionSd);
    }

    private static Func<int, double> Change(Draws draws, SimulatedClass kind, List<SimulatedEvent> events) => kind switch
    {
        SimulatedClass.Growing => Rise(draws.In(new Range(15, 35)), draws.In(new Range(300, 700)), 0),
        SimulatedClass.Building => Building(draws, events),
        SimulatedClass.LayOff => LayOff(draws, events),
        SimulatedClass.Step => Step(draws),
        _ => _ => 0,
    };

    private static Func<int, double> Rise(double mm, double timeDays, double from) => day => day > from ? mm * (1 - Math.Exp((from - day) / timeDays)) : 0;

    private static Func<int, double> Building(Draws draws, List<SimulatedEvent> events)
    {
        var from = draws.In(new Range(30, 500));
        events.Add(Event(draws, from, EventKind.StartOfWork));
        return Rise(draws.In(new Range(8, 24)), draws.In(new Range(60, 150)), from);
    }

    private static Func<int, double> LayOff(Draws draws, List<SimulatedEvent> events)
    {
        var from = draws.In(new Range(150, 650));
        var lost = Rise(draws.In(new Range(8, 24)), draws.In(new Range(30, 90)), from);
        events.Add(Event(draws, from, EventKind.LayOff));
        var (back, regained) = (from + draws.In(new Range(70, 240)), draws.In(new Range(90, 180)));
        if (!draws.Happens(ReturnShare))
            return day => -lost(day);
        events.Add(Event(draws, back, EventKind.StartOfWork));
        return day => day > back ? -lost((int)back) * Math.Exp((back - day) / regained) : -lost(day);
    }

    private static Func<int, double> Step(Draws draws)
    {
        var (from, within) = (draws.In(new Range(150, 700)), draws.In(new Range(4, 12)));
        var mm = draws.In(new Range(6, 15)) * (draws.Happens(.5) ? 1 : -1);
        return day => mm * Math.Clamp((day - from) / within, 0, 1);
    }

    private static SimulatedEvent Event(Draws draws, double day, EventKind kind) => new((int)Math.Ceiling(day), kind, draws.Happens(KnownShare));

    private static Func<int, double> Season(Draws draws, SimulatedClass kind)
    {
        var mm = draws.In(kind == SimulatedClass.Maintenance ? new Range(2, 5) : new Range(0, 2));
        var widest = draws.In(new Range(150, 240));
        return day => mm * Math.Cos(2 * Math.PI * (day - widest) / YearDays);
    }

    /// <summary>A level of its own and a slow wander about it: a first-order process, averaged over a third of its memory so that its pace is smooth.</summary>
    private static double[] Wander(Draws draws, int days)
    {
        var level = 300 + draws.Off(28);
        var (sd, memory) = (draws.In(new Range(.7, 1.8)), draws.In(new Range(30, 120)));
        var span = Math.Max(3, (int)(memory / 3));
        var (kept, fresh) = (Math.Exp(-1 / memory), Math.Sqrt(1 - Math.Exp(-2 / memory)));
        var raw = new double[days + span];
        raw[0] = draws.Off(sd);
        for (var i = 1; i < raw.Length; i++)
            raw[i] = (kept * raw[i - 1]) + (fresh * draws.Off(sd));
        return [.. Enumerable.Range(0, days).Select(day => level + raw.AsSpan(day, span).ToArray().Average())];
    }
}
