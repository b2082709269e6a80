using BackTracker.Engine.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Simulation;

/// <summary>What a way of working made of one horse's life.</summary>
/// <param name="Class">What the horse did.</param>
/// <param name="Days">Days counted.</param>
/// <param name="DaysOut">Of these, days on which the saddle was truly out of tolerance.</param>
/// <param name="Visits">Fitter's visits.</param>
/// <param name="Measurements">Measurements by the yard.</param>
public readonly record struct LifeTally(SimulatedClass Class, int Days, int DaysOut, int Visits, int Measurements)
{
    private double Years => Days / 365.25;

    /// <summary>Days out of tolerance a year.</summary>
    public double DaysOutAYear => DaysOut / Years;

    /// <summary>Fitter's visits a year.</summary>
    public double VisitsAYear => Visits / Years;

    /// <summary>Measurements by the yard a year.</summary>
    public double MeasurementsAYear => Measurements / Years;
}

/// <summary>The world all ways of working share.</summary>
/// <param name="BandMm">Half of the tolerance: the saddle is out where the back differs from it by more, mm.</param>
/// <param name="LeadDays">Days ahead on which a fitter must be booked.</param>
/// <param name="TreeSdMm">Standard deviation of setting a tree to a width, mm.</param>
/// <param name="CountedDays">Days counted from the day on which the saddle is first fitted.</param>
public sealed record SimulatedWorld(double BandMm, int LeadDays, double TreeSdMm, int CountedDays)
{
    /// <summary>Days on which a new horse is measured; on the last of them its saddle is fitted.</summary>
    public static IReadOnlyList<int> FirstSessions { get; } = [0, 21, 42];

    /// <summary>The usual world, for a number of years.</summary>
    public static SimulatedWorld Usual(double years) => new(8, 35, 2, (int)Math.Round(years * 365.25));

    /// <summary>The day on which counting begins.</summary>
    public static int Start => FirstSessions[^1];

    /// <summary>Days of life a horse needs.</summary>
    public int LifeDays => Start + CountedDays;
}

/// <summary>A simulated horse with its saddle and what has been measured of it, whoever decides.</summary>
internal sealed class SimulatedLife
{
    private readonly SimulatedHorse horse;
    private readonly SimulatedWorld world;
    private readonly TrendModel model;
    private double trueTreeMm;

    public SimulatedLife(SimulatedHorse horse, SimulatedWorld world, TrendModel model)
    {
        (this.horse, this.world, this.model, Facts) = (horse, world, model, horse.Facts);
        foreach (var day in SimulatedWorld.FirstSessions)
            Read(day);
        SetTree(SimulatedWorld.Start);
    }

    public SimulatedHorse Horse => horse;

    /// <summary>Every fact but saddle and checks; events stand there from the start and are known from their day on.</summary>
    public HorseFacts Facts { get; private set; }

    /// <summary>The width the tree is said to have, mm.</summary>
    public double TreeMm { get; private set; }

    public int TreeSetOn { get; private set; }

    public int LastSession { get; private set; } = -1;

    public int Visits { get; private set; }

    public int Measurements { get; private set; }

    public bool IsOut(int day) => Math.Abs(horse.WidthsMm[day] - trueTreeMm) > world.BandMm;

    /// <summary>The yard measures.</summary>
    public void Measure(int day)
    {
        Read(day);
        Measurements++;
    }

    /// <summary>The fitter comes, measures, and sets the tree to what the back is taken to be after everything measured so far.</summary>
    public void Visit(int day)
    {
        if (LastSession < day)
            Read(day);
        SetTree(day);
        Visits++;
    }

    private void Read(int day)
    {
        Facts = Facts with { Sessions = [.. Facts.Sessions, horse.SessionOn(day)] };
        LastSession = day;
    }

    private void SetTree(int day)
    {
        var series = SeriesBuilder.Build(Facts, SimulatedHorse.Measured, SimulatedHorse.Date(day));
        TreeMm = MetricTrend.Fit(series, model).On(SimulatedHorse.Date(day)).Mean;
        trueTreeMm = TreeMm + horse.TreeOffMm(day, world.TreeSdMm);
        TreeSetOn = day;
    }
}
