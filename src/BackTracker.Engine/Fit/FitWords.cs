using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Sections;

namespace BackTracker.Engine.Fit;

/// <summary>Findings in words.</summary>
internal static class FitWords
{
    /// <summary>What tells how a tree lies along the back, without a station.</summary>
    public static readonly Measure[] OfForm = [Measure.PommelClearance, Measure.SpineClearance, Measure.Bridging, Measure.Rocking, Measure.Balance];

    public const string MeasureSides = "Measure the tree by its two sides at several places from front to rear: that brings angle, clearance, bridging, rocking and balance.";
    public const string MeasureFront = "Measure how far the tree's front edge lies behind T8 on this horse.";
    public const string TraceTopline = "Trace the topline along the spine, against a level line.";
    public const string MarkSides = "Mark the midline and a level line on every trace: without both, left and right cannot be told apart.";
    public const string TraceSides = "Trace the back with midline and level line marked: widths alone do not tell left from right.";
    public const string MeasureLastRib = "Measure how far T18 lies behind T8: follow the last rib up and forward to the spine.";
    public const string MeasureSupport = "Measure from the rear edge of the shoulder blade to the last rib.";

    public static string MeasureTree(string saddle) =>
        $"Measure the tree of {saddle}: by its two sides at several places, or {WidthFit.DepthMm} mm below its middle at T8, T13 and T18.";

    public static string MeasureWidth(Station station) => $"Measure {station} width at {WidthFit.DepthMm} mm.";

    public static string TraceDeeper(Station? station) => $"Trace {station?.ToString() ?? "the back"} further down both sides: the trace ends above the lower edge of the panel.";

    /// <summary>What would mend a fault; for a back that is not known well enough, which stations lack what.</summary>
    public static string Mend(FitFault fault, BackTrends back)
    {
        if (fault != FitFault.TooFewStations)
            return FitFaults.Sentence(fault);
        Station[] unplaced = [.. back.Sections.Select(section => section.Station).Where(station => !back.Outline.PositionsMm.ContainsKey(station))];
        return unplaced.Length > 0
            ? $"Measure how far {string.Join(" and ", unplaced)} {(unplaced.Length > 1 ? "lie" : "lies")} behind T8."
            : "Trace the back at T8, T13 and T18, or measure their widths at 30 and 150 mm.";
    }

    public static string Unknown(FindingKey key) => $"Not known: {Named(key)}.";

    /// <summary>What would mend a lack, and every finding that it would bring. A width that is asked for is named by its sentence.</summary>
    public static string Missing(string mending, IEnumerable<FindingKey> brings)
    {
        string[] names = [.. brings.Where(key => key.Measure != Measure.Width150).Select(Named)];
        return names.Length == 0 ? mending
            : $"{mending} Not known until then: {(names.Length == 1 ? names[0] : $"{string.Join(", ", names[..^1])} and {names[^1]}")}.";
    }

    private static string Named(FindingKey key) => $"{Name(key.Measure)}{(key.Station is { } station ? $" at {station}" : "")}";

    public static string Finding(FindingKey key, string where, in FindingNumbers numbers, Limits limits, Severity severity) =>
        $"{StandingOf(severity)} {Statement(key, where, numbers, limits)}: chance of being out {Words.Percent(numbers.ProbabilityOut)}.";

    /// <summary>"Tree 6 mm narrower than the back at T13 (limit 14)"; names the side of the limit where it is not the side of the value.</summary>
    public static string Statement(FindingKey key, string where, in FindingNumbers numbers, Limits limits)
    {
        if (double.IsInfinity(limits.OutAbove) && numbers.Value >= limits.WatchAbove)
            return $"{Said(key, where, numbers.Value)} (watched from {Number(key.Measure, limits.WatchAbove)})";
        var likelierLow = numbers.ProbabilityLow == numbers.ProbabilityHigh ? numbers.Value < 0 && double.IsFinite(limits.OutBelow) : numbers.ProbabilityLow > numbers.ProbabilityHigh;
        var limit = likelierLow && double.IsFinite(limits.OutBelow) || !double.IsFinite(limits.OutAbove) ? limits.OutBelow : limits.OutAbove;
        return $"{Said(key, where, numbers.Value)} ({LimitOf(key.Measure, numbers.Value, limit)})";
    }

    /// <summary>" at T13", " in the rear third", " in the middle third near T13"; empty where it is of the whole saddle.</summary>
    public static string Where(Station? near, Zone? third) => (third, near) switch
    {
        (null, null) => "",
        (null, _) => $" at {near}",
        _ => $" in the {third.ToString()!.ToLowerInvariant()} third{(near is null ? "" : $" near {near}")}",
    };

    private static string Said(FindingKey key, string where, double value) => key.Measure switch
    {
        Measure.Width150 or Measure.Width => IsNil(key.Measure, value)
            ? $"Tree as wide as the back at {key.Station}"
            : $"Tree {Amount(key.Measure, value)} {Side(key.Measure, value)} than the back at {key.Station}",
        Measure.Angle => IsNil(key.Measure, value)
            ? $"Tree as steep as the back at {key.Station}"
            : $"Tree {Amount(key.Measure, value)} {Side(key.Measure, value)} than the back at {key.Station}",
        Measure.AngleDifference => IsNil(key.Measure, value)
            ? $"Tree as steep on the left as on the right, against the back at {key.Station}"
            : $"Tree {Amount(key.Measure, value)} steeper on the {(value < 0 ? "right" : "left")} than on the other side, against the back at {key.Station}",
        Measure.Channel => $"Channel {Amount(key.Measure, value)} wide at its narrowest",
        Measure.PommelClearance => $"{Amount(key.Measure, value)} of room over the withers in front, without a rider",
        Measure.SpineClearance => $"{Amount(key.Measure, value)} of room over the spine{where}, without a rider",
        Measure.Bridging => $"Panel {Amount(key.Measure, value)} off the back{where}{(key.Side is { } side ? $" on the {side.ToString().ToLowerInvariant()}" : "")}",
        Measure.Rocking => IsNil(key.Measure, value) ? "Tree does not rock" : $"Tree rocks by {Amount(key.Measure, value)} at its ends",
        Measure.Balance => IsNil(key.Measure, value) ? "Saddle level from front to rear" : $"Saddle {Amount(key.Measure, value)} down {(value < 0 ? "in front" : "behind")}",
        Measure.Roll => IsNil(key.Measure, value) ? "Saddle level from side to side" : $"Saddle {Amount(key.Measure, value)} down on the {(value < 0 ? "left" : "right")}",
        Measure.Reach => $"Tree ends {Amount(key.Measure, value)} {(value < 0 ? "before" : "past")} T18",
        Measure.ShoulderRoom => value < 0 ? $"Tree lies {Amount(key.Measure, value)} over the shoulder blade" : $"{Amount(key.Measure, value)} of room behind the shoulder blade",
        _ => $"{(IsNil(key.Measure, value) ? "Left and right half alike" : $"{(value < 0 ? "Left" : "Right")} half {Amount(key.Measure, value)} larger")} at {key.Station}, {(key.Measure == Measure.Asymmetry30 ? 30 : 150)} mm down",
    };

    /// <summary>"A hollow of about 9 mm": how much is out, which is not how much flocking goes in, because that acts along the panel's normal and by thirds.</summary>
    public static string ToBeLevelled(Measure measure, double mm) => measure switch
    {
        Measure.Bridging => $"a hollow of about {Words.Whole(mm)} mm",
        Measure.Rocking => $"a bend of about {Words.Whole(mm)} mm",
        Measure.Balance => $"front and rear about {Words.Whole(mm)} mm out of level",
        _ => $"left and right about {Words.Whole(mm)} mm out of level",
    };

    private static string LimitOf(Measure measure, double value, double limit)
    {
        var size = Number(measure, Math.Abs(limit));
        if (measure is Measure.Width150 or Measure.Width or Measure.Angle && (value < 0 != limit < 0 || IsNil(measure, value)))
            return $"limit {size} {UnitOf(measure)} {Side(measure, limit)}";
        return measure is Measure.Balance or Measure.Roll && value < 0 != limit < 0 && !IsNil(measure, value) ? $"limit {size} {UnitOf(measure)} the other way" : $"limit {size}";
    }

    private static string Side(Measure measure, double value) => measure == Measure.Angle
        ? value < 0 ? "flatter" : "steeper"
        : value < 0 ? "narrower" : "wider";

    private static bool IsNil(Measure measure, double value) => Number(measure, Math.Abs(value)) is "0" or "0.0";

    private static string Amount(Measure measure, double value) => $"{Number(measure, Math.Abs(value))} {UnitOf(measure)}";

    private static string UnitOf(Measure measure) => MeasureFacts.Unit(measure) == "deg" ? "degrees" : MeasureFacts.Unit(measure);

    private static string Number(Measure measure, double value) =>
        value.ToString(MeasureFacts.Unit(measure) == "deg" ? "0.0" : "0", CultureInfo.InvariantCulture);

    /// <summary>The measure as a fitter says it.</summary>
    public static string Name(Measure measure) => measure switch
    {
        Measure.Width150 or Measure.Width => "width",
        Measure.Angle => "angle",
        Measure.AngleDifference => "angle of left against right",
        Measure.Channel => "width of the channel",
        Measure.PommelClearance => "room over the withers",
        Measure.SpineClearance => "room over the spine",
        Measure.Reach => "where the tree ends",
        Measure.ShoulderRoom => "room behind the shoulder blade",
        Measure.Asymmetry30 or Measure.Asymmetry150 => "left against right",
        _ => measure.ToString().ToLowerInvariant(),
    };

    private static string StandingOf(Severity severity) => severity switch
    {
        Severity.Out => "Out of tolerance.",
        Severity.Watch => "Keep an eye on it.",
        Severity.Ok => "Within tolerance.",
        _ => "Not known.",
    };
}
