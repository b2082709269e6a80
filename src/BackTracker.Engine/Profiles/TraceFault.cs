namespace BackTracker.Engine.Profiles;

/// <summary>Why a drawing is no cross-section of a back.</summary>
public enum TraceFault
{
    /// <summary>Some coordinate is no finite number.</summary>
    NotFinite,

    /// <summary>Fewer than 5 different points.</summary>
    TooFewPoints,

    /// <summary>The trace lies on one side of the midline.</summary>
    MidlineOutsideTrace,

    /// <summary>It spans less than 80 mm: probably centimetres.</summary>
    UnitSuspect,

    /// <summary>Two neighbouring points lie more than 40 mm apart.</summary>
    GapTooLarge,

    /// <summary>The level line is tilted by more than 20 degrees.</summary>
    RotationTooLarge,
}

/// <summary>What to notice about a section that could be read.</summary>
public enum TraceWarning
{
    /// <summary>At 30 or 150 mm down the trace passes several times, more than 5 mm apart; the place met first from the midline counts.</summary>
    AmbiguousCrossing,

    /// <summary>One side or both do not reach 150 mm down.</summary>
    Depth150NotReached,

    /// <summary>One side or both do not reach 30 mm down.</summary>
    Depth30NotReached,

    /// <summary>The trace crosses the midline more than 2 mm off depth 0; depths run from where it crosses.</summary>
    DepthShifted,

    /// <summary>It was drawn from right to left and was turned round.</summary>
    Reversed,
}

/// <summary>Faults and warnings as codes and in words.</summary>
public static class TraceWords
{
    /// <summary>The fault as a program knows it: "gap_too_large".</summary>
    public static string Code(TraceFault fault) => fault switch
    {
        TraceFault.NotFinite => "not_finite",
        TraceFault.TooFewPoints => "too_few_points",
        TraceFault.MidlineOutsideTrace => "midline_outside_trace",
        TraceFault.UnitSuspect => "unit_suspect",
        TraceFault.GapTooLarge => "gap_too_large",
        TraceFault.RotationTooLarge => "rotation_too_large",
        _ => throw new ArgumentOutOfRangeException(nameof(fault), fault, "No such fault."),
    };

    /// <summary>The warning as a program knows it: "depth_shifted".</summary>
    public static string Code(TraceWarning warning) => warning switch
    {
        TraceWarning.AmbiguousCrossing => "ambiguous_crossing",
        TraceWarning.Depth150NotReached => "depth150_not_reached",
        TraceWarning.Depth30NotReached => "depth30_not_reached",
        TraceWarning.DepthShifted => "depth_shifted",
        TraceWarning.Reversed => "reversed",
        _ => throw new ArgumentOutOfRangeException(nameof(warning), warning, "No such warning."),
    };

    /// <summary>What is wrong and how to mend it, as somebody with the paper in hand would say it.</summary>
    public static string Sentence(TraceFault fault) => fault switch
    {
        TraceFault.NotFinite => "A point of the trace is not a number. Read it off the paper again.",
        TraceFault.TooFewPoints => "The trace has fewer than 5 different points. Read off a point every 5 mm, from one flank over the midline to the other.",
        TraceFault.MidlineOutsideTrace =>
            "The trace lies on one side of the midline. x = 0 is the midline unless a midline is marked; - is the horse's left, + its right.",
        TraceFault.UnitSuspect => "The trace spans less than 80 mm, no back is that narrow. Were the points in cm? Send mm.",
        TraceFault.GapTooLarge => "Two neighbouring points lie more than 40 mm apart: the curve between them would be guessed. Read off points in between, one every 5 mm.",
        TraceFault.RotationTooLarge => "The level line is tilted by more than 20 degrees: was the paper turned? Give what was level on the horse, from its left to its right.",
        _ => throw new ArgumentOutOfRangeException(nameof(fault), fault, "No such fault."),
    };
}
