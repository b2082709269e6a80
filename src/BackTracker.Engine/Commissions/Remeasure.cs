using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Commissions;

/// <summary>Why the back is to be measured again, and by when.</summary>
/// <param name="By">The latest day.</param>
/// <param name="Reasons">In words.</param>
public sealed record RemeasureNeed(DateOnly By, IReadOnlyList<string> Reasons);

/// <summary>One reason to measure the back again.</summary>
/// <param name="Cause">Age of the last measurement, or risk that the saddle does not fit.</param>
/// <param name="DueOn">By when.</param>
/// <param name="Text">In words.</param>
public readonly record struct RemeasureReason(Cause Cause, DateOnly DueOn, string Text);

/// <summary>Whether a back is to be measured again while a saddle is being made for it: before the tree is cut, covered or brought home.</summary>
public static class Remeasure
{
    /// <summary>Probability of fitting on the day of delivery below which the back is measured again (our choice).</summary>
    public const double SureEnough = .9;

    /// <summary>
    /// The reasons of a back that was measured, those to come among them: once the last measurement is as old as an old template, and as often as
    /// a back in change while the saddle is not sure enough to fit, at the latest on the day it comes home.
    /// </summary>
    /// <param name="stage">Where the commission stands.</param>
    /// <param name="measuredOn">Day of the horse's last measurement.</param>
    /// <param name="deliveryOn">The day it is to come home.</param>
    /// <param name="probabilityFits">Probability of fitting on that day; null where tree and back cannot be compared.</param>
    /// <param name="policy">Settings.</param>
    public static IEnumerable<RemeasureReason> Reasons(CommissionStage stage, DateOnly measuredOn, DateOnly deliveryOn, double? probabilityFits, CheckPolicy policy)
    {
        if (!Stages.IsBeforeDelivery(stage))
            yield break;
        if (probabilityFits < SureEnough)
        {
            var soon = measuredOn.AddDays(policy.ChangingMeasureDays);
            yield return new(
                Cause.CommissionRisk, deliveryOn > measuredOn ? DayOrder.Earlier(soon, deliveryOn) : soon,
                $"On {Words.Day(deliveryOn)} the tree fits with {Words.Percent(probabilityFits.Value)}: measure again {Before(stage)}.");
        }
        yield return new(Cause.CommissionAge, measuredOn.AddDays(Template.OldDays), $"Last measured on {Words.Day(measuredOn)}: measure again {Before(stage)}.");
    }

    /// <summary>What is needed today; null where nothing is.</summary>
    /// <param name="stage">Where the commission stands.</param>
    /// <param name="lastMeasuredOn">Day of the horse's last measurement; null where there is none.</param>
    /// <param name="today">Today.</param>
    /// <param name="deliveryOn">The day it is to come home.</param>
    /// <param name="probabilityFits">Probability of fitting on that day; null where tree and back cannot be compared.</param>
    /// <param name="policy">Settings.</param>
    public static RemeasureNeed? Need(
        CommissionStage stage, DateOnly? lastMeasuredOn, DateOnly today, DateOnly deliveryOn, double? probabilityFits, CheckPolicy policy)
    {
        if (!Stages.IsBeforeDelivery(stage))
            return null;
        if (lastMeasuredOn is not { } measured)
            return new RemeasureNeed(today, [$"The back was never measured: measure it {Before(stage)}."]);
        List<RemeasureReason> reasons = [.. Reasons(stage, measured, deliveryOn, probabilityFits, policy).Where(reason => reason.Cause == Cause.CommissionRisk || reason.DueOn <= today)];
        return reasons.Count == 0 ? null : new RemeasureNeed(DayOrder.Later(reasons.Min(reason => reason.DueOn), today), [.. reasons.Select(reason => reason.Text)]);
    }

    private static string Before(CommissionStage stage) =>
        stage < CommissionStage.TreeCut ? "before the tree is cut" : stage < CommissionStage.Finished ? "before it is covered" : "before it comes home";
}
