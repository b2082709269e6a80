namespace BackTracker.Engine.Commissions;

/// <summary>The cautions that stand beside every step of a trial and every look at a new saddle.</summary>
public static class TrialCautions
{
    /// <summary>For whoever tries a bare tree on a horse.</summary>
    public static IReadOnlyList<string> ForTrial { get; } =
    [
        "Nobody mounts until the saddler has said in writing that girth straps and stirrup bars bear load.",
        "A pad lies under the tree, and the girth is taken up in steps.",
        "First ride: hat and body protector, a helper at the head, an enclosed place the horse knows, a neck strap, nothing on the rider that can catch; mount from a block with the off stirrup held.",
        "Ride about 20 minutes, then feel the back, and feel it again the next day.",
        "Stop at the first sign of pain, a change of behaviour or a tree that shifts: that goes to a vet or a qualified fitter before the next ride.",
        "A passed trial does not mean safe. Local rules and the licensed practitioner decide.",
    ];

    /// <summary>After soreness.</summary>
    public static string Reopened { get; } =
        "The back was sore after the trial, so the trial is open again: the tree is not covered, and nobody rides in it, before somebody qualified has looked.";
}
