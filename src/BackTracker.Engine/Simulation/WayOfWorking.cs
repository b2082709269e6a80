using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Simulation;

/// <summary>Who is called when.</summary>
public abstract class WayOfWorking
{
    /// <summary>What it is called in tables.</summary>
    public abstract string Name { get; }

    /// <summary>Lets a horse live this way from the day its saddle is first fitted on.</summary>
    public LifeTally Live(SimulatedHorse horse, SimulatedWorld world, TrendModel model)
    {
        ArgumentNullException.ThrowIfNull(horse);
        ArgumentNullException.ThrowIfNull(world);
        var life = new SimulatedLife(horse, world, model);
        var days = Begin(life, world, model);
        var daysOut = 0;
        for (var day = SimulatedWorld.Start + 1; day < world.LifeDays; day++)
        {
            days.Pass(day);
            daysOut += life.IsOut(day) ? 1 : 0;
        }
        return new LifeTally(horse.Class, world.CountedDays, daysOut, life.Visits, life.Measurements);
    }

    internal abstract DayByDay Begin(SimulatedLife life, SimulatedWorld world, TrendModel model);
}

/// <summary>A way of working with one horse.</summary>
internal abstract class DayByDay
{
    /// <summary>Does what this day asks for.</summary>
    public abstract void Pass(int day);
}

/// <summary>A fitter every so many weeks, booked long before.</summary>
/// <param name="weeks">Weeks between visits.</param>
public sealed class CalendarWay(int weeks) : WayOfWorking
{
    /// <inheritdoc/>
    public override string Name => $"fitter every {weeks} weeks";

    internal override DayByDay Begin(SimulatedLife life, SimulatedWorld world, TrendModel model) => new CalendarDays(life, weeks * 7, []);
}

/// <summary>A fitter every so many weeks, and a visit some weeks after each event that was written down; the weeks count anew from it.</summary>
/// <param name="weeks">Weeks between visits.</param>
/// <param name="followUpWeeks">Weeks after an event.</param>
public sealed class CalendarAndEventsWay(int weeks, int followUpWeeks) : WayOfWorking
{
    /// <inheritdoc/>
    public override string Name => $"fitter every {weeks} weeks and {followUpWeeks} weeks after a known event";

    internal override DayByDay Begin(SimulatedLife life, SimulatedWorld world, TrendModel model) => new CalendarDays(
        life, weeks * 7, [.. life.Horse.Events.Where(item => item.IsKnown).Select(item => item.Day + (followUpWeeks * 7))]);
}

internal sealed class CalendarDays(SimulatedLife life, int every, int[] besides) : DayByDay
{
    public override void Pass(int day)
    {
        if (day == life.TreeSetOn + every || besides.Contains(day))
            life.Visit(day);
    }
}

/// <summary>The yard measures every so many weeks and books the fitter when the median of the last two sessions is nearly out.</summary>
/// <param name="weeks">Weeks between measurements.</param>
public sealed class ReactiveWay(int weeks) : WayOfWorking
{
    private const double NearlyOut = .9;

    /// <inheritdoc/>
    public override string Name => $"yard measures every {weeks} weeks, books when it is out";

    internal override DayByDay Begin(SimulatedLife life, SimulatedWorld world, TrendModel model) => new Reacting(life, world, weeks * 7);

    private sealed class Reacting(SimulatedLife life, SimulatedWorld world, int every) : DayByDay
    {
        private int visitOn = -1;

        public override void Pass(int day)
        {
            if (day == visitOn)
                life.Visit(day);
            else if (day == life.LastSession + every)
                MeasureAndBook(day);
        }

        private void MeasureAndBook(int day)
        {
            life.Measure(day);
            var lastTwo = life.Facts.Sessions.TakeLast(2).Average(session => session.Readings.Average(reading => reading.Value));
            if (visitOn < day && Math.Abs(lastTwo - life.TreeMm) > NearlyOut * world.BandMm)
                visitOn = day + world.LeadDays;
        }
    }
}
