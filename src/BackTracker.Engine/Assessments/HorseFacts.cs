using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Engine.Assessments;

/// <summary>What ended an observation.</summary>
/// <param name="On">Day of the outcome.</param>
/// <param name="Role">Who said so.</param>
public readonly record struct OutcomeFact(DateOnly On, OutcomeRole Role);

/// <summary>One value read in a session; repeats of the same metric are several readings.</summary>
/// <param name="Metric">What was read.</param>
/// <param name="Value">The value in the metric's unit.</param>
public readonly record struct Reading(Metric Metric, double Value);

/// <summary>One measuring session of a horse that counts: not voided and not replaced by a correction.</summary>
/// <param name="Id">Id of the stored measurement.</param>
/// <param name="On">Day in the yard's time zone.</param>
/// <param name="Exercise">Before or after work.</param>
/// <param name="Readings">Every value, repeats included.</param>
public sealed record SessionFact(string Id, DateOnly On, ExerciseState Exercise, IReadOnlyList<Reading> Readings)
{
    /// <summary>Where stations were found along the back, mm from T8 towards the tail; empty where nobody measured it.</summary>
    public IReadOnlyDictionary<Station, double> StationPositionsMm { get; init; } = new Dictionary<Station, double>();

    /// <summary>Id of the person who measured; empty where nobody said.</summary>
    public string MeasuredBy { get; init; } = "";

    /// <summary>With what.</summary>
    public MeasuringMethod Method { get; init; } = MeasuringMethod.Other;

    /// <summary>The trace along the spine: X = mm from T8 towards the tail, Y = depth, mm, against a level line; empty where it was not traced.</summary>
    public IReadOnlyList<PointMm> Topline { get; init; } = [];
}

/// <summary>A phase that begins on a day and lasts until the next one.</summary>
/// <param name="Id">Id of the stored phase.</param>
/// <param name="From">First day.</param>
/// <param name="Phase">The phase.</param>
/// <param name="Occurrence">Planned where it was recorded before its first day.</param>
public sealed record PhaseFact(string Id, DateOnly From, Phase Phase, Occurrence Occurrence = Occurrence.Happened);

/// <summary>A dated event.</summary>
/// <param name="Id">Id of the stored event.</param>
/// <param name="On">Its day; later than today only where it is planned.</param>
/// <param name="Kind">What happened.</param>
/// <param name="Occurrence">Planned where it was recorded before its day.</param>
public sealed record EventFact(string Id, DateOnly On, EventKind Kind, Occurrence Occurrence = Occurrence.Happened);

/// <summary>Something seen.</summary>
/// <param name="Id">Id of the stored observation.</param>
/// <param name="On">Day it was seen.</param>
/// <param name="Kind">What was seen.</param>
/// <param name="Severity">How bad.</param>
/// <param name="Score">Ridden-behaviour score 0 to 24; null for other kinds.</param>
/// <param name="Outcome">What ended it; null while it is open.</param>
public sealed record ObservationFact(string Id, DateOnly On, ObservationKind Kind, ObservationSeverity Severity, int? Score, OutcomeFact? Outcome)
{
    /// <summary>Where along the back; null where nobody said.</summary>
    public Station? Station { get; init; }

    /// <summary>On which side; null where it is of both or nobody said.</summary>
    public Side? Side { get; init; }
}

/// <summary>A width of a tree at a station, as measured on the tree 150 mm below the middle.</summary>
/// <param name="Station">Where on the back it sits.</param>
/// <param name="Width150Mm">Width between the bearing surfaces, mm.</param>
public readonly record struct TreeWidth(Station Station, double Width150Mm)
{
    /// <summary>The same 30 mm below the middle; null where nobody measured it, or since the tree was altered.</summary>
    public double? Width30Mm { get; init; }
}

/// <summary>The shape of a tree from a day on.</summary>
/// <param name="Id">Id of the stored shape.</param>
/// <param name="From">First day of this shape.</param>
/// <param name="Widths">Widths by station; empty where the tree was recorded another way.</param>
public sealed record TreeShapeFact(string Id, DateOnly From, IReadOnlyList<TreeWidth> Widths)
{
    /// <summary>The tree by its two sides from front to rear, positions counted from its front edge; empty where it was recorded by widths.</summary>
    public IReadOnlyList<Fit.Geometry.TreeStation> Stations { get; init; } = [];

    /// <summary>Length of the bearing surface, mm; 0 where the tree was recorded by widths.</summary>
    public double BearingLengthMm { get; init; }

    /// <summary>Thickness of the panel when the shape was taken, mm; 0 for a bare tree.</summary>
    public double PanelMm { get; init; }
}

/// <summary>Kind of a tree.</summary>
public enum TreeKind
{
    /// <summary>Rigid.</summary>
    Rigid,

    /// <summary>Its width can be altered.</summary>
    Adjustable,

    /// <summary>It gives under the rider: laid on the back as if it did not.</summary>
    Flexible,

    /// <summary>There is none.</summary>
    Treeless,
}

/// <summary>Filling of the panel.</summary>
public enum Filling
{
    /// <summary>Wool: it beds in and packs down.</summary>
    Wool,

    /// <summary>Foam.</summary>
    Foam,

    /// <summary>Air.</summary>
    Air,

    /// <summary>Felt.</summary>
    Felt,

    /// <summary>Anything else.</summary>
    Other,
}

/// <summary>A change in one zone: flocking, shims and pads by thickness (+ = thicker), the tree by how far that side was opened (+ = wider).</summary>
/// <param name="Side">Side of the saddle.</param>
/// <param name="Zone">Third of the panel.</param>
/// <param name="Mm">Change in mm.</param>
public readonly record struct ZoneChange(Side Side, Zone Zone, double Mm);

/// <summary>A dated change to a saddle.</summary>
/// <param name="Id">Id of the stored adjustment.</param>
/// <param name="On">Day it was done.</param>
/// <param name="Kind">What was changed.</param>
/// <param name="Zones">Where and by how much.</param>
public sealed record AdjustmentFact(string Id, DateOnly On, AdjustmentKind Kind, IReadOnlyList<ZoneChange> Zones);

/// <summary>A ride that was recorded.</summary>
/// <param name="Id">Id of the stored ride.</param>
/// <param name="On">Its day.</param>
/// <param name="HorseId">The horse that was ridden.</param>
/// <param name="SaddleId">The saddle it was ridden in.</param>
/// <param name="Minutes">How long.</param>
public sealed record RideFact(string Id, DateOnly On, string HorseId, string SaddleId, int Minutes);

/// <summary>A check of a saddle that was done.</summary>
/// <param name="CheckId">Id of the stored check.</param>
/// <param name="On">Its day.</param>
public sealed record LookFact(string CheckId, DateOnly On);

/// <summary>Somebody who looks at saddles.</summary>
/// <param name="Id">Id of the person.</param>
/// <param name="LeadDays">Days ahead they must be booked.</param>
/// <param name="WorkingDays">Weekdays on which they work; empty for any day.</param>
public sealed record FitterFact(string Id, int LeadDays, IReadOnlyList<DayOfWeek> WorkingDays);

/// <summary>When nobody comes to a yard.</summary>
/// <param name="Weekdays">On these weekdays.</param>
/// <param name="Days">And on these days.</param>
public sealed record Closures(IReadOnlyList<DayOfWeek> Weekdays, IReadOnlyList<DateOnly> Days)
{
    /// <summary>Open every day.</summary>
    public static Closures None { get; } = new([], []);

    /// <summary>Whether the yard is closed on a day.</summary>
    public bool Close(DateOnly day) => Weekdays.Contains(day.DayOfWeek) || Days.Contains(day);
}

/// <summary>A horse and a saddle that is ridden on it.</summary>
/// <param name="Id">Id of the stored pairing.</param>
/// <param name="SaddleId">Id of the saddle.</param>
/// <param name="SaddleLabel">What the yard calls the saddle.</param>
/// <param name="From">First day the saddle is used on the horse.</param>
/// <param name="To">Last day; null while it is in use.</param>
/// <param name="WeeklyMinutes">Ridden minutes a week; null where nobody said, 0 where nobody rides in it.</param>
/// <param name="TreeShapes">Every shape the tree had, any order.</param>
/// <param name="Adjustments">Every change to the saddle, any order.</param>
/// <param name="Tolerances">Limits of this pairing.</param>
/// <param name="LastSeverities">Severity of each finding in the assessment before this one ("width150@T13" -> severity), for the rule that a flag comes off later than it goes on; empty where there was none.</param>
public sealed record PairingFact(
    string Id,
    string SaddleId,
    string SaddleLabel,
    DateOnly From,
    DateOnly? To,
    int? WeeklyMinutes,
    IReadOnlyList<TreeShapeFact> TreeShapes,
    IReadOnlyList<AdjustmentFact> Adjustments,
    Fit.FitTolerances Tolerances,
    IReadOnlyDictionary<string, Fit.Severity> LastSeverities)
{
    /// <summary>Kind of the tree.</summary>
    public TreeKind Tree { get; init; }

    /// <summary>Filling of the panel.</summary>
    public Filling Filling { get; init; }

    /// <summary>Day the saddle was made; null where nobody said.</summary>
    public DateOnly? MadeOn { get; init; }

    /// <summary>Who may come: the usual fitter alone, else every fitter of the yard; empty where nobody is known.</summary>
    public IReadOnlyList<FitterFact> Fitters { get; init; } = [];

    /// <summary>Checks of the saddle that were done on other horses, any order.</summary>
    public IReadOnlyList<LookFact> LooksElsewhere { get; init; } = [];

    /// <summary>Settings of its own.</summary>
    public PolicyValues OwnPolicy { get; init; } = PolicyValues.None;

    /// <summary>Where the tree's front edge lies on this horse, mm behind T8, negative in front of it; null where nobody measured it.</summary>
    public double? TreeFrontFromT8Mm { get; init; }

    /// <summary>Thickness of the pad ridden under the saddle, mm.</summary>
    public double PadMm { get; init; }
}

/// <summary>Everything known of a horse on a day; the engine looks at nothing else.</summary>
/// <param name="HorseId">Id of the horse.</param>
/// <param name="HorseName">What the yard calls it.</param>
/// <param name="BornOn">Birth date; null where unknown.</param>
/// <param name="Status">Whether it is looked after.</param>
/// <param name="Sessions">Measuring sessions, any order.</param>
/// <param name="Phases">Phases, any order.</param>
/// <param name="Events">Events, any order.</param>
/// <param name="Observations">Observations, any order.</param>
/// <param name="Pairings">Pairings, any order.</param>
/// <param name="Checks">Every check ever made for the horse, any order.</param>
public sealed record HorseFacts(
    string HorseId,
    string HorseName,
    DateOnly? BornOn,
    HorseStatus Status,
    IReadOnlyList<SessionFact> Sessions,
    IReadOnlyList<PhaseFact> Phases,
    IReadOnlyList<EventFact> Events,
    IReadOnlyList<ObservationFact> Observations,
    IReadOnlyList<PairingFact> Pairings,
    IReadOnlyList<CheckFact> Checks)
{
    /// <summary>Rides in the saddles of the pairings, on whichever horse, at least since each was last looked at, any order.</summary>
    public IReadOnlyList<RideFact> Rides { get; init; } = [];

    /// <summary>When nobody comes to the yard.</summary>
    public Closures Closed { get; init; } = Closures.None;

    /// <summary>Saddles that are being made for the horse, any order.</summary>
    public IReadOnlyList<CommissionFact> Commissions { get; init; } = [];

    /// <summary>How far repeats of those who measured the horse lie apart, as learned in the yard.</summary>
    public MeasurementErrors Errors { get; init; } = MeasurementErrors.Starting;
}
