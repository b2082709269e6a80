namespace BackTracker.Engine.Commissions;

/// <summary>The steps of a trial, in the order in which they are taken: none is begun before the one before it is done without a fail.</summary>
public enum TrialStep
{
    /// <summary>On the standing horse, over a pad, no girth.</summary>
    Standing,

    /// <summary>Girthed, step by step.</summary>
    Girthed,

    /// <summary>Rider up, standing still for minutes.</summary>
    MountedStill,

    /// <summary>Walk and turns.</summary>
    Walk,

    /// <summary>Trot.</summary>
    Trot,

    /// <summary>After the ride, and the back felt again the next day.</summary>
    After,
}

/// <summary>What a person found of an item.</summary>
public enum ItemVerdict
{
    /// <summary>As it should be.</summary>
    Pass,

    /// <summary>To be altered before the saddle is finished.</summary>
    Alter,

    /// <summary>Stop here.</summary>
    Fail,
}

/// <summary>One thing to look at in a step.</summary>
/// <param name="Code">How it is written everywhere.</param>
/// <param name="Step">The step it belongs to.</param>
/// <param name="Text">What is to be so.</param>
public sealed record TrialItem(string Code, TrialStep Step, string Text)
{
    /// <summary>"spine loaded": the word in a sentence.</summary>
    public string Name => NameOf(Code);

    /// <summary>The same of a word.</summary>
    public static string NameOf(string code) => (code ?? "").Replace('-', ' ');
}

/// <summary>The usual things to look at (common practice, no source); a yard or a saddler may have their own.</summary>
public static class TrialItems
{
    /// <summary>In the order in which they are looked at.</summary>
    public static IReadOnlyList<TrialItem> Usual { get; } =
    [
        new("place", TrialStep.Standing, "Lies behind the shoulder blade, and no further back than the last rib."),
        new("spine", TrialStep.Standing, "Clear of the spine from front to rear."),
        new("channel", TrialStep.Standing, "The width between the panels leaves the spine and its ligament free."),
        new("contact", TrialStep.Standing, "Even under the flat hand from front to rear on both sides: no hollow, no hard spot."),
        new("level", TrialStep.Standing, "Level from front to rear and from side to side."),
        new("rocking", TrialStep.Standing, "Does not rock from front to rear or corner to corner."),
        new("girth-line", TrialStep.Girthed, "The girth straps hang in line with the girth groove."),
        new("girth-length", TrialStep.Girthed, "The girth is of the right length, even on both sides."),
        new("buckles", TrialStep.Girthed, "Buckles are clear of the rider's leg and of the stirrup leather."),
        new("stays", TrialStep.Girthed, "Stays where it was when the girth is taken up, hole by hole."),
        new("settles", TrialStep.MountedStill, "Settles evenly under the rider and stays level."),
        new("spine-loaded", TrialStep.MountedStill, "Still clear of the spine from front to rear."),
        new("shoulder", TrialStep.MountedStill, "The shoulder is free when a foreleg is led forward."),
        new("walk-shift", TrialStep.Walk, "Does not shift, tip or slip at walk and in turns both ways."),
        new("walk-behaviour", TrialStep.Walk, "The horse walks on willingly, as it usually does."),
        new("trot-shift", TrialStep.Trot, "Does not shift, tip or slip at trot on both reins."),
        new("trot-behaviour", TrialStep.Trot, "The horse trots on willingly, as it usually does."),
        new("rider", TrialStep.Trot, "The rider sits in balance and has room, and gets off freely."),
        new("sweat", TrialStep.After, "Sweat and pressure marks are even: no dry patch, no ruffled hair."),
        new("felt-at-once", TrialStep.After, "The back felt at once is as before: no heat, no swelling, no flinching."),
        new("felt-next-day", TrialStep.After, "The back felt the next day is as before."),
    ];
}
