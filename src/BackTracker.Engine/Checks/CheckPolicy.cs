using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Checks;

/// <summary>
/// Limits and intervals that decide when somebody is called. All are settings; the defaults are common practice without a published
/// source unless one stands beside them.
/// </summary>
public sealed record CheckPolicy
{
    /// <summary>Probability of being out at which a fit check is due. Default 0.20: in simulation a sixth of the out-of-tolerance days of twice-yearly visits at the same number of visits (docs/method.md).</summary>
    public double RiskLimit { get; init; } = .20;

    /// <summary>Probability at which the window of a risk check closes and no further postponing is accepted without saying so.</summary>
    public double RiskClosing { get; init; } = .50;

    /// <summary>Probability of being out from which a finding is out. Our choice.</summary>
    public double OutProbability { get; init; } = .50;

    /// <summary>Probability of being out from which a finding is watched. Our choice.</summary>
    public double WatchProbability { get; init; } = .10;

    /// <summary>Probability of being out under which a finding that was watched or out is ok again. Our choice.</summary>
    public double ClearProbability { get; init; } = .05;

    /// <summary>Standard deviation of one measurement of a tree's width, mm. Common practice, no source.</summary>
    public double TreeMeasureSdMm { get; init; } = 2;

    /// <summary>Most that flocking can take up in a zone, mm; what needs more is a matter of the tree. Common practice, no source.</summary>
    public double FlockingLimitMm { get; init; } = 10;

    /// <summary>Days to be done within when a finding is out now.</summary>
    public int OutNowDays { get; init; } = 3;

    /// <summary>Days after a dated event on which to measure again.</summary>
    public int EventFollowUpDays { get; init; } = 42;

    /// <summary>Days before the follow-up of an event from which a session counts as that follow-up.</summary>
    public int EventFollowUpEarlyDays { get; init; } = 7;

    /// <summary>Length of a lay-off, in days, after which the fit is checked before the first ride (trade triggers: "off work more than about a month", low grade).</summary>
    public int LayOffDays { get; init; } = 28;

    /// <summary>Days before work begins again from which a fit check or a session counts as done for it.</summary>
    public int BeforeWorkDays { get; init; } = 14;

    /// <summary>Evidence must move a day by this many days before an open check is moved.</summary>
    public int MoveDays { get; init; } = 7;

    /// <summary>Days before the last day to book from which a check is urgent soon.</summary>
    public int SoonDays { get; init; } = 7;

    /// <summary>Days before a re-measure is due on which it is opened.</summary>
    public int RemeasureNoticeDays { get; init; } = 7;

    /// <summary>Days a check stays sensible after it was due where nothing else closes its window.</summary>
    public int WindowDays { get; init; } = 28;

    /// <summary>Days for which a check that a person dropped is not opened again for the same causes.</summary>
    public int DroppedQuietDays { get; init; } = 28;

    /// <summary>Weeks between fit checks of a horse that is measured as asked and whose risk stays under the limit: twice a year is the trade's floor.</summary>
    public int WatchedFitWeeks { get; init; } = 26;

    /// <summary>Weeks between fit checks in steady mature work (trade sources: 6 to 9 months, at least twice a year).</summary>
    public int SteadyFitWeeks { get; init; } = 26;

    /// <summary>Weeks between fit checks in hard work or competing (trade sources: 3, 4 to 6 months).</summary>
    public int HardWorkFitWeeks { get; init; } = 12;

    /// <summary>Weeks between fit checks of a young or growing horse (trade sources: 2 to 3, 3, 4 to 6 months).</summary>
    public int GrowingFitWeeks { get; init; } = 8;

    /// <summary>Weeks between fit checks while coming back from injury (trade sources: 2 to 4 weeks, 2 to 3 months).</summary>
    public int RehabilitationFitWeeks { get; init; } = 3;

    /// <summary>Days between measurements in rehabilitation.</summary>
    public int RehabilitationMeasureDays { get; init; } = 21;

    /// <summary>Days between measurements while the back is expected to change: growing, backing, conditioning, building, or no phase recorded.</summary>
    public int ChangingMeasureDays { get; init; } = 28;

    /// <summary>Days between measurements in steady work, competing and letting down (T8 and T18 change within two months: Greve and Dyson 2014).</summary>
    public int SteadyMeasureDays { get; init; } = 42;

    /// <summary>Days between measurements at rest.</summary>
    public int RestMeasureDays { get; init; } = 56;

    /// <summary>Age in years under which a horse counts as growing.</summary>
    public int GrowingYears { get; init; } = 6;

    /// <summary>Ridden-behaviour score, of 24, from which a vet looks first (Dyson and Pollard 2020, Animals 10:1044).</summary>
    public int VetFirstBehaviourScore { get; init; } = 8;

    /// <summary>Days within which the fit is checked after a ridden-behaviour score under the vet-first limit.</summary>
    public int BehaviourFitDays { get; init; } = 14;

    /// <summary>Days within which the fit is checked after the left/right difference was seen to have changed.</summary>
    public int LeftRightChangeDays { get; init; } = 14;

    /// <summary>Days after the session that showed a change of weight, girth or condition on which to measure the back again.</summary>
    public int BodyChangeDays { get; init; } = 14;

    /// <summary>Change of weight since the last fit check that calls for a measurement, kg (trade trigger, low grade).</summary>
    public int WeightChangeKg { get; init; } = 40;

    /// <summary>The same as a share of the weight.</summary>
    public double WeightChangeShare { get; init; } = .08;

    /// <summary>Change of heart girth since the last fit check that calls for a measurement, mm (trade trigger, low grade).</summary>
    public int GirthChangeMm { get; init; } = 50;

    /// <summary>Change of the condition score of 1 to 9 since the last fit check that calls for a measurement, points.</summary>
    public double ConditionChangePoints { get; init; } = 1;

    /// <summary>Ridden hours after which new wool is looked at (trade sources: 10 hours, 20 hours).</summary>
    public int BeddingInHours { get; init; } = 20;

    /// <summary>Weeks of riding after which new wool is looked at at the latest (trade sources: 2 to 6 months).</summary>
    public int BeddingInWeeks { get; init; } = 12;

    /// <summary>Weeks of riding after which a new panel of anything but wool is looked at.</summary>
    public int BeddingInOtherWeeks { get; init; } = 26;

    /// <summary>Ridden hours after which wool is looked at again.</summary>
    public int FlockingHours { get; init; } = 150;

    /// <summary>Weeks of riding after which wool is looked at again at the latest.</summary>
    public int FlockingWeeks { get; init; } = 26;

    /// <summary>Weeks of riding after which a panel of anything but wool is looked at again.</summary>
    public int FlockingOtherWeeks { get; init; } = 52;

    /// <summary>Share of the horse's weight above which rider and tack are noted; sources conflict (docs/method.md).</summary>
    public double LoadNotedFrom { get; init; } = .15;

    /// <summary>Share of the horse's weight above which rider and tack are warned of; sources conflict (docs/method.md).</summary>
    public double LoadWarnedFrom { get; init; } = .20;

    /// <summary>Hazard of a surprise a day, added to every probability of being out (docs/method.md).</summary>
    public double SurpriseHazardPerDay { get; init; } = .0002;

    /// <summary>Days ahead that are forecast.</summary>
    public int HorizonDays { get; init; } = 365;

    /// <summary>Days between measurements of a grown horse in a phase; null where none is recorded.</summary>
    public int MeasureDays(Phase? phase) => phase switch
    {
        Phase.Rehabilitation => RehabilitationMeasureDays,
        Phase.Rest => RestMeasureDays,
        Phase.Steady or Phase.Competing or Phase.LettingDown => SteadyMeasureDays,
        _ => ChangingMeasureDays,
    };

    /// <summary>Weeks of riding between fit checks of a grown horse in a phase that is not watched by its measurements; null where none is recorded.</summary>
    public int FitWeeks(Phase? phase) => phase switch
    {
        Phase.Rehabilitation => RehabilitationFitWeeks,
        Phase.Backing => GrowingFitWeeks,
        Phase.Competing or Phase.Building or Phase.Conditioning => HardWorkFitWeeks,
        _ => SteadyFitWeeks,
    };

    /// <summary>A probability with the hazard of surprises since the last look counted in: P becomes 1 - (1 - P) e^(-h days).</summary>
    internal double WithSurprise(double probability, DateOnly lastLook, DateOnly day) =>
        1 - ((1 - Math.Min(1, probability)) * Math.Exp(-SurpriseHazardPerDay * Math.Max(0, day.DayNumber - lastLook.DayNumber)));
}
