using static BackTracker.Engine.Checks.PolicyLevel;

namespace BackTracker.Engine.Checks;

/// <summary>Two settings that do not go together.</summary>
/// <param name="Lower">The one that has to be less.</param>
/// <param name="Higher">Than this one.</param>
public readonly record struct CrossedSettings(PolicySetting Lower, PolicySetting Higher);

/// <summary>Every setting of <see cref="CheckPolicy"/>: the one place in which its range, its level and its source are said.</summary>
public static class PolicySettings
{
    private const string Custom = "common practice, no source";
    private const string Choice = "our choice";
    private const string Trigger = "trade trigger, low grade";

    /// <summary>All of them, in order of what they are about.</summary>
    public static IReadOnlyList<PolicySetting> All { get; } =
    [
        new(nameof(CheckPolicy.RiskLimit), "probability", .01, .9, Pairing, "Probability of having left tolerance at which a fit check is due.", "a simulation with two costs (docs/method.md)"),
        new(nameof(CheckPolicy.RiskClosing), "probability", .02, .99, Pairing, "Probability at which the window of a risk check closes; it is not put off further without saying so.", Choice),
        new(nameof(CheckPolicy.OutProbability), "probability", .05, .99, Service, "Probability of being out from which a finding is out.", Choice),
        new(nameof(CheckPolicy.WatchProbability), "probability", .01, .9, Service, "Probability of being out from which a finding is watched.", Choice),
        new(nameof(CheckPolicy.ClearProbability), "probability", .001, .9, Service, "Probability of being out under which a flag comes off again.", Choice),
        new(nameof(CheckPolicy.SurpriseHazardPerDay), "probability a day", 0, .01, Service, "Hazard of what no model foresees, added to every probability of being out.", Choice),
        new(nameof(CheckPolicy.HorizonDays), "days", 28, 365, Service, "Days ahead that are forecast.", Choice),
        new(nameof(CheckPolicy.TreeMeasureSdMm), "mm", 0, 10, Service, "Standard deviation of one measurement of a tree's width.", Custom),
        new(nameof(CheckPolicy.FlockingLimitMm), "mm", 0, 20, Pairing, "Most that flocking takes up in a zone; what needs more is a matter of the tree.", Custom),
        new(nameof(CheckPolicy.OutNowDays), "days", 0, 14, Pairing, "Days within which a finding that is out is seen to.", Custom),
        new(nameof(CheckPolicy.WindowDays), "days", 0, 90, Pairing, "Days a check stays sensible after it was due where nothing else closes its window.", Custom),
        new(nameof(CheckPolicy.BookingLeadDays), "days", 0, 365, Pairing, "Days ahead a fitter is booked who does not say how long.", Custom),
        new(nameof(CheckPolicy.WatchedFitWeeks), "weeks", 1, 104, Pairing, "Weeks of riding between fit checks of a horse that is measured as asked and whose risk stays under the limit.", "twice a year is the trade's floor"),
        new(nameof(CheckPolicy.SteadyFitWeeks), "weeks", 1, 104, Pairing, "Weeks of riding between fit checks in steady work.", "trade sources: 6 to 9 months, at least twice a year"),
        new(nameof(CheckPolicy.HardWorkFitWeeks), "weeks", 1, 104, Pairing, "Weeks of riding between fit checks in hard work or competing.", "trade sources: 3 months, 4 to 6 months"),
        new(nameof(CheckPolicy.GrowingFitWeeks), "weeks", 1, 104, Pairing, "Weeks of riding between fit checks of a young or growing horse.", "trade sources: 2 to 3 months, 3, 4 to 6"),
        new(nameof(CheckPolicy.RehabilitationFitWeeks), "weeks", 1, 104, Pairing, "Weeks of riding between fit checks while coming back from injury.", "trade sources: 2 to 4 weeks, 2 to 3 months"),
        new(nameof(CheckPolicy.BeddingInHours), "hours", 1, 500, Pairing, "Ridden hours after which new wool is looked at.", "trade sources: 10 hours, 20 hours"),
        new(nameof(CheckPolicy.BeddingInWeeks), "weeks", 1, 104, Pairing, "Weeks of riding after which new wool is looked at at the latest.", "trade sources: 2 to 6 months"),
        new(nameof(CheckPolicy.BeddingInOtherWeeks), "weeks", 1, 104, Pairing, "Weeks of riding after which a new panel without wool is looked at.", "trade sources: 2 to 6 months"),
        new(nameof(CheckPolicy.FlockingHours), "hours", 1, 2000, Pairing, "Ridden hours after which wool is looked at again.", Custom),
        new(nameof(CheckPolicy.FlockingWeeks), "weeks", 1, 208, Pairing, "Weeks of riding after which wool is looked at again at the latest.", Custom),
        new(nameof(CheckPolicy.FlockingOtherWeeks), "weeks", 1, 208, Pairing, "Weeks of riding after which a panel without wool is looked at again.", Custom),
        new(nameof(CheckPolicy.LeftRightChangeDays), "days", 0, 90, Pairing, "Days within which the fit is checked after the left/right difference was seen to have changed.", Custom),
        new(nameof(CheckPolicy.BodyChangeDays), "days", 1, 90, Pairing, "Days after which the back is measured again when weight, girth or condition was seen to have changed.", Custom),
        new(nameof(CheckPolicy.WeightChangeKg), "kg", 5, 200, Pairing, "Change of weight since the last fit check that counts.", Trigger),
        new(nameof(CheckPolicy.WeightChangeShare), "share", .01, .5, Pairing, "The same as a share of the weight; whichever is less counts.", Custom),
        new(nameof(CheckPolicy.GirthChangeMm), "mm", 10, 300, Pairing, "Change of heart girth since the last fit check that counts.", Trigger),
        new(nameof(CheckPolicy.ConditionChangePoints), "points", .5, 4, Pairing, "Change of the condition score (1 to 9) since the last fit check that counts.", Custom),
        new(nameof(CheckPolicy.BehaviourFitDays), "days", 0, 60, Pairing, "Days within which the fit is checked after a ridden-behaviour score under the vet-first limit.", Custom),
        new(nameof(CheckPolicy.LoadNotedFrom), "share", .05, .5, Pairing, "Share of the horse's weight above which rider and tack are noted.", "Dyson et al. 2019, a pilot; sources conflict"),
        new(nameof(CheckPolicy.LoadWarnedFrom), "share", .05, .5, Pairing, "Share of the horse's weight above which rider and tack are warned of.", "Powell et al. 2008, second-hand; sources conflict"),
        new(nameof(CheckPolicy.RehabilitationMeasureDays), "days", 7, 182, Yard, "Days between measurements in rehabilitation.", Custom),
        new(nameof(CheckPolicy.ChangingMeasureDays), "days", 7, 182, Yard, "Days between measurements while growing, backing, conditioning or building, or where no phase is recorded.", Custom),
        new(nameof(CheckPolicy.SteadyMeasureDays), "days", 7, 182, Yard, "Days between measurements in steady work, competing and letting down.", "T8 and T18 change within two months: Greve & Dyson 2014"),
        new(nameof(CheckPolicy.RestMeasureDays), "days", 7, 182, Yard, "Days between measurements at rest.", Custom),
        new(nameof(CheckPolicy.RemeasureNoticeDays), "days", 0, 28, Yard, "Days before a re-measure is due on which it is opened.", Custom),
        new(nameof(CheckPolicy.EventFollowUpDays), "days", 7, 182, Yard, "Days after a dated event on which to measure again.", Custom),
        new(nameof(CheckPolicy.EventFollowUpEarlyDays), "days", 0, 90, Yard, "Days before that from which a session counts as it.", Custom),
        new(nameof(CheckPolicy.LayOffDays), "days", 7, 365, Yard, "Days off after which the fit is checked before the first ride.", Trigger),
        new(nameof(CheckPolicy.BeforeWorkDays), "days", 0, 60, Yard, "Days before work begins again from which a fit check or a session counts as done for it.", Custom),
        new(nameof(CheckPolicy.GrowingYears), "years", 0, 12, Yard, "Age under which a horse counts as growing.", Custom),
        new(nameof(CheckPolicy.SoonDays), "days", 0, 60, Yard, "Days before the last day to book from which a check is urgent soon.", Custom),
        new(nameof(CheckPolicy.DroppedQuietDays), "days", 0, 182, Yard, "Days for which a check that a person dropped is not opened again for the same causes.", Custom),
        new(nameof(CheckPolicy.MoveDays), "days", 1, 28, Service, "Days by which the evidence has to move a day before an open check is moved.", Choice),
        new(nameof(CheckPolicy.VetFirstBehaviourScore), "of 24", 1, 24, Service, "Ridden-behaviour score from which a vet looks first.", "Dyson & Pollard 2020, Animals 10:1044"),
    ];

    private static readonly Dictionary<string, PolicySetting> ByName = All.ToDictionary(setting => setting.Name);

    private static readonly CrossedSettings[] InOrder =
    [
        new(Named(nameof(CheckPolicy.RiskLimit)), Named(nameof(CheckPolicy.RiskClosing))),
        new(Named(nameof(CheckPolicy.ClearProbability)), Named(nameof(CheckPolicy.WatchProbability))),
        new(Named(nameof(CheckPolicy.WatchProbability)), Named(nameof(CheckPolicy.OutProbability))),
        new(Named(nameof(CheckPolicy.EventFollowUpEarlyDays)), Named(nameof(CheckPolicy.EventFollowUpDays))),
        new(Named(nameof(CheckPolicy.LoadNotedFrom)), Named(nameof(CheckPolicy.LoadWarnedFrom))),
    ];

    /// <summary>The setting of a name; null where there is none.</summary>
    public static PolicySetting? Find(string name) => ByName.GetValueOrDefault(name);

    /// <summary>Settings of a policy that do not go together.</summary>
    public static IReadOnlyList<CrossedSettings> CrossedIn(CheckPolicy policy) => [.. InOrder.Where(pair => pair.Lower.Of(policy) >= pair.Higher.Of(policy))];

    /// <summary>The policy with the settings that a narrower level has of its own.</summary>
    public static CheckPolicy With(this CheckPolicy policy, PolicyValues own)
    {
        ArgumentNullException.ThrowIfNull(own);
        return own.ByName.Aggregate(policy, (changed, value) => ByName[value.Key].In(changed, value.Value));
    }

    private static PolicySetting Named(string property) => All.Single(setting => string.Equals(setting.Name, property, StringComparison.OrdinalIgnoreCase));
}
