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

    /// <summary>Days to be done within when a finding is out now.</summary>
    public int OutNowDays { get; init; } = 3;

    /// <summary>Days after a dated event on which to measure again.</summary>
    public int EventFollowUpDays { get; init; } = 42;

    /// <summary>Length of a lay-off, in days, after which the fit is checked before the first ride (trade triggers: "off work more than about a month", low grade).</summary>
    public int LayOffDays { get; init; } = 28;

    /// <summary>Evidence must move a day by this many days before an open check is moved.</summary>
    public int MoveDays { get; init; } = 7;

    /// <summary>Weeks between fit checks of a horse that is measured as asked and whose risk stays under the limit: twice a year is the trade's floor.</summary>
    public int WatchedFitWeeks { get; init; } = 26;

    /// <summary>Age in years under which a horse counts as growing.</summary>
    public int GrowingYears { get; init; } = 6;

    /// <summary>Hazard of a surprise a day, added to every probability of being out (docs/method.md).</summary>
    public double SurpriseHazardPerDay { get; init; } = .0002;

    /// <summary>Days ahead that are forecast.</summary>
    public int HorizonDays { get; init; } = 365;
}
