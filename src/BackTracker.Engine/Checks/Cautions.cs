namespace BackTracker.Engine.Checks;

/// <summary>The cautions that stand beside every fit result; the service never diagnoses.</summary>
public static class Cautions
{
    /// <summary>Shown with every fit result and forecast.</summary>
    public static IReadOnlyList<string> ForFit { get; } =
    [
        "A flag means stop and have it looked at.",
        "A green line does not mean safe: it says what a few measurements say, and no more.",
        "Pain, heat, swelling, a change of behaviour or a saddle that moves goes to a vet or a qualified fitter before the next ride.",
        "Limits are guides with their source beside them, or common practice without one. A vet's and a qualified fitter's judgement comes first.",
    ];

    /// <summary>Shown where a tree was laid on sections of the back.</summary>
    public static IReadOnlyList<string> ForLaidTree { get; } =
    [
        "The saddle is laid on as a rigid tree, without a rider and on a horse that stands still: a standing back is more dipped than a moving one.",
        "Roll is overstated: take its sign and order.",
    ];

    /// <summary>Shown wherever a saddle is shown under a rider.</summary>
    public static IReadOnlyList<string> ForContact { get; } =
    [
        "A static picture of a rigid tree on a still horse: no movement, no friction, no give of the tissue.",
        "How panel and tissue give is a guess: pressures are told beside those under a tree that follows this back, and in no unit.",
        "What front, middle and rear carry follows from where the rider sits: it does not tell a wrong width.",
    ];

    /// <summary>Shown with every advice on a panel.</summary>
    public static IReadOnlyList<string> ForAdvice { get; } =
    [
        "Advice on a panel is worked out from measurements: a qualified fitter decides with the saddle on the horse, and looks at it again after the first rides.",
        "What is changed at a panel changes the saddle on every horse it is used on.",
    ];

    /// <summary>Shown where a section is only a curve through two widths.</summary>
    public static string Modelled { get; } = "Some sections are curves through two measured widths, a model of the back and not the back: trace it to know more.";

    /// <summary>Shown while a vet-first sign is open.</summary>
    public static IReadOnlyList<string> VetFirst { get; } =
    [
        "Stop using the saddle until a vet has looked at the horse.",
        "No fitter's visit is booked and no flocking is made unequal before the vet has looked.",
        "This is not a diagnosis: it says that a sign was recorded which a vet must see first.",
    ];
}
