using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Checks;
using BackTracker.Storage;
using BackTracker.Storage.Observations;
using BackTracker.Storage.Saddles;

namespace BackTracker.Service.Features.Visits;

/// <summary>The visit sheet in the words of a fitter.</summary>
internal static class VisitWords
{
    /// <summary>"Adjustable tree, wool".</summary>
    public static string Saddle(SaddleRow saddle) => $"{(saddle.Tree == "treeless" ? "Treeless" : $"{Engine.Words.Sentence(saddle.Tree)} tree")}, {(saddle.Filling == "other" ? "filling not named" : saddle.Filling)}";

    /// <summary>"Front of the tree 10 mm behind T8".</summary>
    public static string Front(double? behindT8Mm) => behindT8Mm switch
    {
        null => "Where its front lies was not measured",
        0 => "Front of the tree at T8",
        { } mm => $"Front of the tree {Math.Abs(mm).ToString("0", CultureInfo.InvariantCulture)} mm {(mm < 0 ? "in front of" : "behind")} T8",
    };

    /// <summary>"Fit check, due 3 May 2026, booked for 1 May 2026".</summary>
    public static string Check(CheckAnswer check)
    {
        var due = check.Urgency == Urgency.Now ? "before the next ride" : $"due {Engine.Words.Day(check.DueOn)}";
        return $"{Engine.Words.Sentence(BoardWords.Name(check.Kind))}, {due}{(check.BookedOn is { } on ? $", booked for {Engine.Words.Day(on)}" : ", not booked")}";
    }

    /// <summary>"Open sore at T13 on the left, seen 3 May 2026: size of a coin."</summary>
    public static string Seen(ObservationRow row)
    {
        var what = $"{Engine.Words.Sentence(row.Kind.Replace('-', ' '))}{(row.Score is { } score ? $" of {score.ToString(CultureInfo.InvariantCulture)} of 24" : "")}";
        var where = $"{(row.Station is null ? "" : $" at {row.Station}")}{(row.Side is null ? "" : $" on the {row.Side}")}";
        return $"{what}{where}{(row.Severity is null ? "" : $", {row.Severity}")}, seen {Engine.Words.Day(Instants.ReadDay(row.ObservedOn))}{(string.IsNullOrEmpty(row.Note) ? "." : $": {row.Note}")}";
    }

    /// <summary>"Since the fitter last looked, on 2 March 2026".</summary>
    public static string Since(DateOnly? lookedOn, DateOnly firstDay) =>
        lookedOn is { } on ? $"Since it was last looked at, on {Engine.Words.Day(on)}" : $"Since its first day on this horse, {Engine.Words.Day(firstDay)}";

    /// <summary>"Width at T13, 150 mm down: 12 mm wider (± 3 mm), more than noise; least real change 6 mm".</summary>
    public static string Moved(MovedMetric moved)
    {
        var noise = $"{(moved.IsReal ? "more than noise" : "not more than noise")}; least real change {Amount(moved.Metric, moved.LeastRealChange)}";
        return $"{Measurements.MetricWords.Heading(moved.Metric)}: {Change(moved.Metric, moved.Change)} (± {Amount(moved.Metric, moved.PlusMinus)}), {noise}";
    }

    /// <summary>The side a metric is of.</summary>
    public static Side? SideOf(Metric metric) => metric.Quantity switch
    {
        Quantity.HalfLeft or Quantity.AngleLeft => Side.Left,
        Quantity.HalfRight or Quantity.AngleRight => Side.Right,
        _ => null,
    };

    /// <summary>Whole millimetres, tenths of a degree.</summary>
    public static string Number(string unit, double value) => value.ToString(unit == "deg" ? "0.0" : "0", CultureInfo.InvariantCulture);

    /// <summary>Where a visit stands, in one sentence.</summary>
    public static string State(VisitModel model) => model.Visit.State switch
    {
        VisitState.Planned => $"{model.Fitter} comes on {Engine.Words.Day(model.Visit.On)}.",
        VisitState.Done => $"{model.Fitter}: done on {Engine.Words.Day(model.Visit.On)}.",
        _ => $"The visit of {model.Fitter} planned for {Engine.Words.Day(model.Visit.On)} fell through. Its checks are open again.",
    };

    /// <summary>Where a check of a visit stands.</summary>
    public static string Standing(CheckAnswer check) => check.DoneOn is { } on ? $"Done on {Engine.Words.Day(on)}." : $"Due {Engine.Words.Day(check.DueOn)}.";

    /// <summary>Why a check of a visit is not reported as done.</summary>
    public static string CannotBeDone(VisitModelCheck check) => check.Check.Kind switch
    {
        CheckKind.Remeasure => "A re-measure closes by itself when the measurement is recorded. If it was not measured, say why.",
        CheckKind.Vet => "A vet check closes with the vet's outcome on what was seen. If the vet did not look, say why.",
        _ => "Stop, vet first: nothing about the saddle is recorded until a vet has looked. Say so here; the check is open again then.",
    };

    /// <summary>Head of a form.</summary>
    public static string Title(VisitStep step) => step switch
    {
        VisitStep.Complete => "Report the visit",
        VisitStep.Move => "Move it to another day",
        _ => "It falls through",
    };

    /// <summary>What sends a form.</summary>
    public static string Button(VisitStep step) => step switch
    {
        VisitStep.Complete => "Report",
        VisitStep.Move => "Move",
        _ => "Open its checks again",
    };

    private static string Amount(Metric metric, double value) => $"{Number(metric.Unit, Math.Abs(value))} {(metric.Unit == "deg" ? "degrees" : metric.Unit)}";

    private static string Change(Metric metric, double change) => Number(metric.Unit, Math.Abs(change)) is "0" or "0.0"
        ? "unchanged"
        : $"{Amount(metric, change)} {Way(metric, change)}";

    private static string Way(Metric metric, double change) => (metric.Unit, metric.Quantity) switch
    {
        ("deg", _) => change < 0 ? "flatter" : "steeper",
        (_, Quantity.Dip) => change < 0 ? "shallower" : "deeper",
        _ => change < 0 ? "narrower" : "wider",
    };

}
