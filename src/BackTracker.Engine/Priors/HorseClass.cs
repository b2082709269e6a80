namespace BackTracker.Engine.Priors;

/// <summary>
/// Classes of horses whose backs may move differently. Age alone: a birth date is the one field of a horse that sorts it and stays. Work is told
/// by phases and events, and has a prior of its own already (<see cref="Trends.PriorContext"/>); a breed is free text.
/// </summary>
public enum HorseClass
{
    /// <summary>Horses of any age, and those whose age nobody said.</summary>
    All,

    /// <summary>Younger than <see cref="HorseClasses.GrowingYears"/> at the last session known.</summary>
    Growing,

    /// <summary>That old or older.</summary>
    Grown,
}

/// <summary>Sorts horses into their class.</summary>
public static class HorseClasses
{
    /// <summary>Age from which a horse counts as grown, years: common practice, no source. Fixed, so that a class is the same in every yard.</summary>
    public const int GrowingYears = 6;

    /// <summary>The class of a horse on a day.</summary>
    /// <param name="bornOn">Birth date; null where nobody said.</param>
    /// <param name="day">Day of the last session known.</param>
    public static HorseClass Of(DateOnly? bornOn, DateOnly day) => bornOn switch
    {
        null => HorseClass.All,
        { } born when born.AddYears(GrowingYears) > day => HorseClass.Growing,
        _ => HorseClass.Grown,
    };
}
