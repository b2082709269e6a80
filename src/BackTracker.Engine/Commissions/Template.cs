namespace BackTracker.Engine.Commissions;

/// <summary>How far a template can still be trusted.</summary>
public enum TemplateAge
{
    /// <summary>Fit to work from.</summary>
    Fresh,

    /// <summary>Old enough for the back to have changed: measure again if that can be done.</summary>
    Old,

    /// <summary>Too old to cut by, unless somebody says in so many words that it is to be.</summary>
    Stale,
}

/// <summary>
/// Ages of templates. Backs of horses in work differ at T8 and T18 after two months and at T13 after four (Greve and Dyson 2014, Equine Vet J
/// 46 suppl., doi 10.1111/evj.12267_161): after the first a template is old, after the second it is stale.
/// </summary>
public static class Template
{
    /// <summary>Days from which a template is old.</summary>
    public const int OldDays = 56;

    /// <summary>Days from which it is stale.</summary>
    public const int StaleDays = 112;

    /// <summary>The age on a day of a template measured on another.</summary>
    /// <param name="measuredOn">Day of the measurement it was drawn from.</param>
    /// <param name="on">The day it is used.</param>
    public static TemplateAge AgeOn(DateOnly measuredOn, DateOnly on) => (on.DayNumber - measuredOn.DayNumber) switch
    {
        >= StaleDays => TemplateAge.Stale,
        >= OldDays => TemplateAge.Old,
        _ => TemplateAge.Fresh,
    };
}
