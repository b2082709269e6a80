using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Alerts;

/// <summary>Problems and what became of them, in few words.</summary>
public static class AlertWords
{
    /// <summary>"vet-first sign", "finding out of tolerance".</summary>
    public static string Of(Cause cause) => cause switch
    {
        Cause.VetFirst => "vet-first sign",
        Cause.OutNow => "finding out of tolerance",
        Cause.SaddleSign => "sign under saddle",
        Cause.BackToWork => "back to work",
        Cause.Risk => "risk of leaving tolerance",
        Cause.ForecastWide => "nothing new measured",
        Cause.LeftRightChange => "change between left and right",
        Cause.BodyChange => "change of weight, girth or condition",
        Cause.DatedEvent => "follow-up of an event",
        Cause.MeasurementAge => "time since the last measurement",
        Cause.CommissionRisk => "saddle being made that may not fit",
        Cause.CommissionAge => "time since the last measurement for a saddle being made",
        Cause.FitCheckAge => "time since the last fit check",
        Cause.BeddingIn => "panel bedding in",
        Cause.FlockingAge => "time since the flocking was looked at",
        _ => throw new ArgumentOutOfRangeException(nameof(cause), cause, "An unknown cause."),
    };

    /// <summary>"new", "changed", "overdue", "settled".</summary>
    public static string Of(AlertNews news) => news == AlertNews.Raised ? "new" : news.ToString().ToLowerInvariant();
}
