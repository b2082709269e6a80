namespace BackTracker.Engine.Assessments;

/// <summary>Whether something dated is known to have happened or was only planned when it was recorded.</summary>
public enum Occurrence
{
    /// <summary>It happened: nobody knew of it before its day.</summary>
    Happened,

    /// <summary>It was planned ahead: known before its day, and taken to have happened once the day has come.</summary>
    Planned,
}

/// <summary>Where a horse stands: only an active horse has checks.</summary>
public enum HorseStatus
{
    /// <summary>In a yard and looked after.</summary>
    Active,

    /// <summary>Sold to somebody who keeps it elsewhere.</summary>
    Sold,

    /// <summary>Out of work for good.</summary>
    Retired,

    /// <summary>Dead.</summary>
    Died,
}

/// <summary>Training phase of a horse from a day on.</summary>
public enum Phase
{
    /// <summary>No work.</summary>
    Rest,

    /// <summary>Work coming down before a rest.</summary>
    LettingDown,

    /// <summary>Coming back from injury or illness.</summary>
    Rehabilitation,

    /// <summary>A young horse started under saddle.</summary>
    Backing,

    /// <summary>Steady mature work.</summary>
    Steady,

    /// <summary>Getting fit.</summary>
    Conditioning,

    /// <summary>Building muscle and strength.</summary>
    Building,

    /// <summary>Competing.</summary>
    Competing,
}

/// <summary>Kind of a dated event that may change how fast the back moves.</summary>
public enum EventKind
{
    /// <summary>Work begins or begins again.</summary>
    StartOfWork,

    /// <summary>The horse stops working.</summary>
    LayOff,

    /// <summary>Illness.</summary>
    Illness,

    /// <summary>Injury.</summary>
    Injury,

    /// <summary>Another saddle.</summary>
    NewSaddle,

    /// <summary>Anything else worth a date.</summary>
    Other,
}

/// <summary>Kind of something seen on the horse or under saddle.</summary>
public enum ObservationKind
{
    /// <summary>Pain on touch.</summary>
    Soreness,

    /// <summary>Heat.</summary>
    Heat,

    /// <summary>Swelling.</summary>
    Swelling,

    /// <summary>An open sore.</summary>
    OpenSore,

    /// <summary>Lameness.</summary>
    Lameness,

    /// <summary>The saddle slips to one side.</summary>
    SaddleSlipsOneSide,

    /// <summary>The saddle moves, to no one side.</summary>
    SaddleMoves,

    /// <summary>Sudden loss of topline or mass.</summary>
    ToplineLoss,

    /// <summary>New bucking.</summary>
    Bucking,

    /// <summary>New rearing.</summary>
    Rearing,

    /// <summary>New bolting.</summary>
    Bolting,

    /// <summary>Neurological signs.</summary>
    Neurological,

    /// <summary>A published 24-item ridden-behaviour score (Dyson and Pollard 2020, Animals 10:1044); the score is in <see cref="ObservationFact.Score"/>.</summary>
    RiddenBehaviourScore,

    /// <summary>A dry patch ringed by sweat.</summary>
    DryPatch,

    /// <summary>White hairs.</summary>
    WhiteHairs,

    /// <summary>A rub or broken hair.</summary>
    Rub,

    /// <summary>A change of behaviour.</summary>
    Behaviour,

    /// <summary>Anything else.</summary>
    Other,
}

/// <summary>How bad an observation was, as the person who saw it put it.</summary>
public enum ObservationSeverity
{
    /// <summary>Not said.</summary>
    Unstated,

    /// <summary>Mild.</summary>
    Mild,

    /// <summary>Moderate.</summary>
    Moderate,

    /// <summary>Severe.</summary>
    Severe,
}

/// <summary>Whether the horse had worked before it was measured.</summary>
public enum ExerciseState
{
    /// <summary>Measured before work: enters trends.</summary>
    Before,

    /// <summary>Measured after work: shown, never trended.</summary>
    After,

    /// <summary>Not said: enters trends with a bias state.</summary>
    Unknown,
}

/// <summary>Who gave an outcome; a vet-first sign is closed by a vet's outcome alone.</summary>
public enum OutcomeRole
{
    /// <summary>A vet.</summary>
    Vet,

    /// <summary>A fitter.</summary>
    Fitter,

    /// <summary>A yard manager.</summary>
    YardManager,
}

/// <summary>Kind of a change to a saddle.</summary>
public enum AdjustmentKind
{
    /// <summary>Flocking added or taken.</summary>
    Flocking,

    /// <summary>The tree itself altered.</summary>
    Tree,

    /// <summary>A shim.</summary>
    Shim,

    /// <summary>A pad.</summary>
    Pad,

    /// <summary>Balance work.</summary>
    Balance,

    /// <summary>A repair.</summary>
    Repair,
}

/// <summary>Third of the panel.</summary>
public enum Zone
{
    /// <summary>Front third: T5 to T10.</summary>
    Front,

    /// <summary>Middle third: T11 to T15.</summary>
    Middle,

    /// <summary>Rear third: T16 to T18.</summary>
    Rear,
}

/// <summary>Side of the horse, seen from behind.</summary>
public enum Side
{
    /// <summary>The horse's left.</summary>
    Left,

    /// <summary>The horse's right.</summary>
    Right,
}
