namespace BackTracker.Engine.Commissions;

/// <summary>Why the back is to be measured again, and by when.</summary>
/// <param name="By">The latest day.</param>
/// <param name="Reasons">In words.</param>
public sealed record RemeasureNeed(DateOnly By, IReadOnlyList<string> Reasons);

/// <summary>Whether a back is to be measured again while a saddle is being made for it: before the tree is cut, covered or brought home.</summary>
public static class Remeasure
{
    /// <summary>Probability of fitting on the day of delivery below which the back is measured again (our choice).</summary>
    public const double SureEnough = .9;

    /// <summary>What is needed; null where nothing is.</summary>
    /// <param name="stage">Where the commission stands.</param>
    /// <param name="lastMeasuredOn">Day of the horse's last measurement; null where there is none.</param>
    /// <param name="today">Today.</param>
    /// <param name="deliveryOn">The day it is to come home.</param>
    /// <param name="probabilityFits">Probability of fitting on that day; null where tree and back cannot be compared.</param>
    public static RemeasureNeed? Need(CommissionStage stage, DateOnly? lastMeasuredOn, DateOnly today, DateOnly deliveryOn, double? probabilityFits)
    {
        if (!Stages.IsBeforeDelivery(stage))
            return null;
        var before = stage < CommissionStage.TreeCut ? "before the tree is cut" : stage < CommissionStage.Finished ? "before it is covered" : "before it comes home";
        if (lastMeasuredOn is not { } measured)
            return new RemeasureNeed(today, [$"The back was never measured: measure it {before}."]);
        var oldOn = measured.AddDays(Template.OldDays);
        List<string> reasons = [];
        if (oldOn <= today)
            reasons.Add($"Last measured {Words.Span(today.DayNumber - measured.DayNumber)} ago: measure again {before}.");
        if (probabilityFits < SureEnough)
            reasons.Add($"On {Words.Day(deliveryOn)} the tree fits with {Words.Percent(probabilityFits.Value)}: measure again {before}.");
        return reasons.Count == 0 ? null : new RemeasureNeed(DayOrder.Later(DayOrder.Earlier(oldOn, deliveryOn), today), reasons);
    }
}
