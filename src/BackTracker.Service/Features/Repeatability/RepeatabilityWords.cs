using System.Globalization;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Repeatability;

/// <summary>Repeatability as somebody who runs a yard says it.</summary>
internal static class RepeatabilityWords
{
    private const int FewPairs = 10;

    // Bradley and Nankervis 2019.
    private const string FoundAgain = "Without a mark T18 is found again only within 34 to 49 mm: mark it, and note how far it lies behind T8 each time.";

    /// <summary>"the arm gauge".</summary>
    public static string The(MeasuringMethod method) => method == MeasuringMethod.Other ? "another method" : $"the {Plain(method)}";

    public static string Of(MetricRepeatability item)
    {
        var (metric, enough) = (item.Metric, item.Error.RepeatsThatDo);
        var (low, high) = item.Estimate.Interval95;
        var heading = $"{MetricWords.Heading(metric)}, with {The(item.Method)}";
        var basis = (item.Repeats.DegreesOfFreedom, item.Used.Basis) switch
        {
            (0, _) => "Nothing was repeated: this is what is usual.",
            (_, ErrorBasis.Starting) => Invariant($"{Repeats(item.Repeats.DegreesOfFreedom)} beyond the first so far: this still leans on what is usual, and trends go by that."),
            _ => "Trends go by it.",
        };
        return Invariant($"{heading}: one reading is good to {Change(metric, item.Estimate.Sd)} give or take ({Number(metric, low)} to {Number(metric, high)}). Two sessions of {enough} repeats have to differ by {Change(metric, item.Error.LeastRealChange(enough))} to be more than chance, and more repeats gain little. {basis}");
    }

    public static string Of(Agreement agreement, Metric metric, string other)
    {
        var (bias, low, high) = (agreement.Offset, agreement.LowLimit(), agreement.HighLimit());
        var told = bias.Low > 0 || bias.High < 0
            ? Invariant($"Reads {Change(metric, Math.Abs(bias.Value))} {(bias.Value > 0 ? "more" : "less")} than {other}")
            : Invariant($"No difference from {other} is shown");
        var trust = agreement.Pairs < FewPairs ? " Too few to rely on." : "";
        return Invariant($"{MetricWords.Heading(metric)}: {told} ({Number(metric, bias.Low)} to {Number(metric, bias.High)}), from {agreement.Pairs} horses and weeks. Of 100 differences 95 lie between {Number(metric, low.Value)} and {Change(metric, high.Value)}.{trust}");
    }

    public static string Of(StationMark mark)
    {
        var noted = mark.Placed == 0 ? $"{mark.Station}: nobody noted where it lies."
            : mark.Scatter.DegreesOfFreedom == 0 ? Invariant($"{mark.Station}: noted in {mark.Placed} of {mark.Sessions} sessions, never twice on one horse.")
            : Invariant($"{mark.Station}: noted in {mark.Placed} of {mark.Sessions} sessions, and found again on the same horse within {mark.Scatter.Sd:0} mm give or take.");
        return mark.Station.Vertebra == Station.Last && mark.Placed < mark.Sessions ? $"{noted} {FoundAgain}" : noted;
    }

    /// <summary>What all of it comes to.</summary>
    public static string Short(string who, IReadOnlyList<HorseSession> sessions, IReadOnlyList<MetricRepeatability> items)
    {
        if (sessions.Count == 0)
            return $"{who}: nothing was measured yet.";
        var since = Engine.Words.Day(sessions[0].Session.On);
        var repeats = items.Where(IsWidth).Select(item => item.Repeats.DegreesOfFreedom).DefaultIfEmpty().Max();
        return repeats == 0
            ? Invariant($"{who}: {sessions.Count} sessions since {since}, no width measured twice in one of them. How good they are cannot be told until it is.")
            : Invariant($"{who}: {sessions.Count} sessions since {since}, {Repeats(repeats)} beyond the first of the width measured most. {Steadiness(items)}");
    }

    /// <summary>What would make the measurements better.</summary>
    public static IReadOnlyList<string> Advice(IReadOnlyList<MetricRepeatability> items, IReadOnlyList<AgreementAnswer> others) =>
    [
        .. items.Where(IsWidth).GroupBy(item => item.Method).Select(HowOften),
        .. others.Count == 0 ? [] : new[] { "Who measures, and with what, changes the numbers: keep to one person and one method for a horse, or take the first sessions of another as a new start." },
    ];

    private static string HowOften(IGrouping<MeasuringMethod, MetricRepeatability> widths)
    {
        var worst = widths.MaxBy(item => item.Error.RepeatsThatDo)!;
        return Invariant($"With {The(widths.Key)} {worst.Error.RepeatsThatDo} repeats of a width do: what then differs from session to session ({Change(worst.Metric, worst.SessionSd)}: the station found again, the stance) stays, however often it is repeated.");
    }

    private static string Steadiness(IReadOnlyList<MetricRepeatability> items)
    {
        var told = items.Where(item => IsWidth(item) && item.Used.Basis != ErrorBasis.Starting).ToList();
        if (told.Count == 0)
            return "Too few to tell a steady hand from an unsteady one: trends go by what is usual.";
        var (least, most) = (told.MinBy(item => item.Estimate.Sd)!, told.MaxBy(item => item.Estimate.Sd)!);
        var verdict = told.TrueForAll(item => item.Estimate.Interval95.High < item.Towards.Sd) ? "steadier than usual"
            : told.TrueForAll(item => item.Estimate.Interval95.Low > item.Towards.Sd) ? "less steady than usual"
            : "about as steady as usual";
        return Invariant($"One reading is good to {Number(least.Metric, least.Estimate.Sd)} to {Change(most.Metric, most.Estimate.Sd)} give or take: {verdict}.");
    }

    private static bool IsWidth(MetricRepeatability item) => item.Metric.Quantity == Quantity.Width;

    private static string Repeats(int count) => count == 1 ? "1 repeat" : Invariant($"{count} repeats");

    private static string Plain(MeasuringMethod method) => Words.Write(method).Replace('-', ' ');

    private static string Change(Metric metric, double value) => MetricWords.Change(metric, value);

    private static string Number(Metric metric, double value) => MetricWords.Change(metric, value).Split(' ')[0];

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
