using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;

namespace BackTracker.Engine.Checks;

/// <summary>Something to bring to a visit.</summary>
/// <param name="What">What.</param>
/// <param name="Because">The findings that ask for it, in words.</param>
public sealed record BringItem(string What, IReadOnlyList<string> Because);

/// <summary>What a fitter needs in the van for a saddle, by what is out or about to be.</summary>
public static class Bringing
{
    private const string Wider = "A wider tree or head plate";
    private const string Narrower = "A narrower tree or head plate";

    /// <summary>
    /// What to bring, each thing once. While a vet-first sign is open it begins with that, and nothing is proposed that would make left and
    /// right unequal.
    /// </summary>
    /// <param name="findings">Findings of the saddle on the day of the visit.</param>
    /// <param name="vetFirst">Open vet-first signs of the horse.</param>
    /// <param name="policy">Settings.</param>
    public static IReadOnlyList<BringItem> For(IReadOnlyList<Finding> findings, IReadOnlyList<ObservationFact> vetFirst, CheckPolicy policy)
    {
        var pressing = findings
            .Where(finding => MeasureFacts.IsOfSaddle(finding.Key.Measure) && Asks(finding))
            .Where(finding => vetFirst.Count == 0 || !MakesUnequal(finding.Key));
        var asked = vetFirst.Select(sign => (What: "Nothing unequal before the vet", Because: $"{CheckWords.Sign(sign)} seen on {Words.Day(sign.On)}: a vet looks first"))
            .Concat(pressing.SelectMany(finding => Needs(finding, findings, policy)));
        return [.. asked.GroupBy(need => need.What, (what, needs) => new BringItem(what, [.. needs.Select(need => need.Because)]))];
    }

    // A watch that only the spread of a forecast calls for says nothing of what would mend it, and what stands still is no better for
    // another tree before it is out.
    private static bool Asks(Finding finding) => finding.Numbers is { } numbers && (finding.Severity == Severity.Out
        || (finding.Severity == Severity.Watch && MeasureFacts.MovesWithTheBack(finding.Key.Measure) && (finding.Limits.IsWatched(numbers.Value) || Math.Abs(numbers.Value) > numbers.Sd)));

    private static bool MakesUnequal(FindingKey key) => Flocking.IsUnequal(key) || key.Measure == Measure.AngleDifference;

    private static IEnumerable<(string What, string Because)> Needs(Finding finding, IReadOnlyList<Finding> all, CheckPolicy policy)
    {
        var levelled = Remedy.For(finding, all, policy) == CheckKind.Flocking;
        var statement = levelled ? $"{finding.Statement}: {FitWords.ToBeLevelled(finding.Key.Measure, finding.FlockingMm)}" : finding.Statement;
        yield return (levelled ? "Flocking" : OfTree(finding, all), statement);
        if (MeasureFacts.IsOfWidth(finding.Key.Measure) && !finding.IsNarrow)
            yield return ("Shims, to fill a wide tree until it is altered", statement);
        if (levelled && finding.Key.Measure == Measure.Balance)
            yield return ("Shims, to try the balance before it is flocked", statement);
    }

    private static string OfTree(Finding finding, IReadOnlyList<Finding> all) => finding.Key.Measure switch
    {
        Measure.Width150 or Measure.Width or Measure.Angle => finding.IsNarrow ? Wider : Narrower,
        Measure.AngleDifference => "A tree or head plate that is set side by side",
        Measure.Channel => "A tree with another channel",
        Measure.PommelClearance when finding.Numbers!.Value.Value < finding.Limits.WatchAbove => "A tree with more room over the withers",
        // A narrow tree is perched up.
        Measure.PommelClearance => all.Any(other => other.IsNarrow) ? Wider : "A tree with less room over the withers",
        Measure.SpineClearance => "A tree with more room over the spine",
        Measure.Reach => "A shorter tree",
        Measure.ShoulderRoom => "A tree that leaves the shoulder blade free",
        // How a narrow tree lies says nothing yet of how a wider one would.
        _ => all.Any(other => other.IsNarrow) ? Wider : "A tree of another curve: more is out than flocking takes up",
    };
}
