namespace BackTracker.Engine.Commissions;

/// <summary>Where a saddle that is being made stands.</summary>
public enum CommissionStage
{
    /// <summary>Ordered; the back is still to be measured for it.</summary>
    Ordered,

    /// <summary>The back is measured for it.</summary>
    Measured,

    /// <summary>The saddler has the template.</summary>
    TemplateSent,

    /// <summary>The tree is cut.</summary>
    TreeCut,

    /// <summary>The bare tree is being tried on the horse.</summary>
    TreeTrial,

    /// <summary>The tree was altered after a trial.</summary>
    Altered,

    /// <summary>The trial is passed: the tree may be covered.</summary>
    Passed,

    /// <summary>The saddle is finished.</summary>
    Finished,

    /// <summary>The saddle is at the yard.</summary>
    Delivered,

    /// <summary>Its panel packs down under the rider.</summary>
    BeddingIn,

    /// <summary>It is bedded in: over.</summary>
    Settled,

    /// <summary>It is not taken: over.</summary>
    Refused,
}

/// <summary>Who has the tree or the saddle in hand, or whose turn it is.</summary>
public enum Holder
{
    /// <summary>The yard.</summary>
    Yard,

    /// <summary>Whoever makes it.</summary>
    Saddler,

    /// <summary>Whoever fits it on the horse.</summary>
    Fitter,
}

/// <summary>What is due next.</summary>
/// <param name="Stage">The stage it leads to.</param>
/// <param name="Text">In words.</param>
/// <param name="DueOn">By when.</param>
public readonly record struct NextStep(CommissionStage Stage, string Text, DateOnly DueOn);

/// <summary>The order of the stages, and whose turn it is in each.</summary>
public static class Stages
{
    private static readonly Dictionary<CommissionStage, CommissionStage[]> Following = new()
    {
        [CommissionStage.Ordered] = [CommissionStage.Measured],
        [CommissionStage.Measured] = [CommissionStage.TemplateSent, CommissionStage.Measured],
        [CommissionStage.TemplateSent] = [CommissionStage.TreeCut, CommissionStage.Measured, CommissionStage.TemplateSent],
        // A back that has changed meanwhile is measured again, and the tree cut anew.
        [CommissionStage.TreeCut] = [CommissionStage.TreeTrial, CommissionStage.Measured],
        [CommissionStage.TreeTrial] = [CommissionStage.Altered, CommissionStage.Passed, CommissionStage.TreeTrial, CommissionStage.Measured],
        [CommissionStage.Altered] = [CommissionStage.TreeTrial, CommissionStage.Measured],
        [CommissionStage.Passed] = [CommissionStage.Finished],
        [CommissionStage.Finished] = [CommissionStage.Delivered],
        [CommissionStage.Delivered] = [CommissionStage.BeddingIn],
        [CommissionStage.BeddingIn] = [CommissionStage.Settled],
        [CommissionStage.Settled] = [],
        [CommissionStage.Refused] = [],
    };

    /// <summary>The stages that may follow, the usual one first.</summary>
    public static IReadOnlyList<CommissionStage> After(CommissionStage stage) =>
        IsBeforeDelivery(stage) ? [.. Following[stage], CommissionStage.Refused] : Following[stage];

    /// <summary>Whether the saddle is still being made.</summary>
    public static bool IsBeforeDelivery(CommissionStage stage) => stage < CommissionStage.Delivered;

    /// <summary>Who has it in hand.</summary>
    public static Holder HeldBy(CommissionStage stage) => stage switch
    {
        CommissionStage.TreeTrial or CommissionStage.BeddingIn => Holder.Fitter,
        CommissionStage.TemplateSent or CommissionStage.TreeCut or CommissionStage.Altered or CommissionStage.Passed or CommissionStage.Finished => Holder.Saddler,
        _ => Holder.Yard,
    };

    /// <summary>What is due next up to delivery; null afterwards, when ridden hours decide, and where all is over.</summary>
    /// <param name="stage">Where it stands.</param>
    /// <param name="since">Since when.</param>
    /// <param name="measuredOn">Day of the measurement that is worked from; null where there is none yet.</param>
    /// <param name="deliveryOn">The day it is to come home.</param>
    public static NextStep? Next(CommissionStage stage, DateOnly since, DateOnly? measuredOn, DateOnly deliveryOn)
    {
        if (!IsBeforeDelivery(stage))
            return null;
        var fresh = DayOrder.Earlier((measuredOn ?? since).AddDays(Template.OldDays), deliveryOn);
        var due = stage switch
        {
            CommissionStage.Ordered => DayOrder.Earlier(since, deliveryOn),
            CommissionStage.Measured or CommissionStage.TemplateSent => fresh,
            _ => deliveryOn,
        };
        return new NextStep(Following[stage][0], Say(stage), due);
    }

    private static string Say(CommissionStage stage) => stage switch
    {
        CommissionStage.Ordered => "Measure the back for it.",
        CommissionStage.Measured => "Send the template to the saddler while it is fresh.",
        CommissionStage.TemplateSent => "Cut the tree while the template is fresh.",
        CommissionStage.TreeCut => "Measure the tree that came, and try it bare on the horse.",
        CommissionStage.TreeTrial => "Go on with the trial; pass the tree, or send it back with what is to be altered.",
        CommissionStage.Altered => "Try the tree again from the first step.",
        CommissionStage.Passed => "Cover the tree and finish the saddle.",
        _ => "Bring the saddle home.",
    };
}
