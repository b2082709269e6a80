using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Advice;

/// <summary>
/// Looks for the change of a panel that keeps it in tolerance longest: the saddle with the changed panel is laid on the expected back of a few
/// days, and every finding that the panel has a say in is as much likelier to be out as its value has moved against the saddle as it is. Width and
/// angle are the tree's: they count for nothing and may not be made worse, and a tree that is wide is not padded out. From step to step in whole mm, never more than <see cref="MostTried"/> panels.
/// </summary>
internal sealed class PanelSearch
{
    /// <summary>Panels laid on the back at most.</summary>
    public const int MostTried = 160;

    // What a fitter has to do is worth it only where it wins something, and filling up what packed down before taking out: our choice.
    private const double DaysAPlace = 1.5;
    private const double DaysAMmIn = .2;
    private const double DaysAMmOut = .4;
    private const double DaysAsGood = 3;
    private const double MostSds = 8;
    private static readonly int[] NodeDays = [0, 28, 84, 182, 364];
    private static readonly int[] StepsMm = [4, 2, 1];
    private readonly Dictionary<string, double> tried = [];
    private readonly Func<PanelZones, LaidSaddle> lay;
    private readonly HorseTrends trends;
    private readonly DateOnly[] days;
    private readonly Finding[][] asIs;
    private readonly double[][] values;
    private readonly LaidSaddle saddle;
    private readonly bool isWide;

    /// <summary>A search around a saddle as it is.</summary>
    /// <param name="fit">The saddle as it is, asked for all days to <paramref name="last"/>.</param>
    /// <param name="trends">Trends of the horse.</param>
    /// <param name="lay">Lays the saddle with a changed panel.</param>
    /// <param name="on">First day.</param>
    /// <param name="last">Last day.</param>
    public PanelSearch(PairingFit fit, HorseTrends trends, Func<PanelZones, LaidSaddle> lay, DateOnly on, DateOnly last)
    {
        (this.trends, this.lay, saddle) = (trends, lay, lay(PanelZones.None));
        days = [.. NodeDays.Select(day => on.AddDays(day)).Where(day => day < last), last];
        asIs = [.. days.Select(day => fit.On(day)).Select(findings => saddle.Keys.Select(key => findings.First(finding => finding.Key == key)).ToArray())];
        values = [.. days.Select(day => saddle.ReadOn(trends.Back.On(day).Means).Numbers)];
        isWide = Enumerable.Range(0, saddle.Keys.Count).Any(i => MeasureFacts.IsOfWidth(saddle.Keys[i].Measure) && asIs[0][i].Limits.IsWatched(values[0][i]));
    }

    /// <summary>Days within tolerance that the saddle as it is loses to findings the panel has a say in.</summary>
    public double LostDays => (days[^1].DayNumber - days[0].DayNumber) - DaysWithin(values);

    /// <summary>The best change that these steps lead to from none, each time the best of all steps, until none is better; a simpler one where it is as good.</summary>
    /// <param name="steps">Which zones change together.</param>
    /// <param name="bounds">Least and most of a zone, mm.</param>
    public PanelZones Best(IReadOnlyList<PanelZones> steps, (int LeastMm, int MostMm) bounds)
    {
        var best = PanelZones.None;
        foreach (var mm in StepsMm)
        {
            for (var next = Next(best, mm, steps, bounds); next != best; next = Next(best, mm, steps, bounds))
                best = next;
        }
        return best.Simpler.Where(simpler => Worth(simpler) > Worth(best) - DaysAsGood).Append(best).First();
    }

    private PanelZones Next(PanelZones best, int mm, IReadOnlyList<PanelZones> steps, (int LeastMm, int MostMm) bounds)
    {
        var next = steps.SelectMany(step => new[] { best.Plus(mm, step), best.Plus(-mm, step) }).Where(panel => panel.IsWithin(bounds.LeastMm, bounds.MostMm)).MaxBy(Worth);
        return next is not null && Worth(next) > Worth(best) + 1e-6 ? next : best;
    }

    private double Worth(PanelZones panel)
    {
        var key = string.Join(',', panel.Mm);
        if (tried.TryGetValue(key, out var known))
            return known;
        var worth = tried.Count >= MostTried ? double.NegativeInfinity : DaysOf(panel) - (DaysAPlace * panel.Places) - (DaysAMmIn * panel.AddedMm) - (DaysAMmOut * panel.TakenMm);
        tried.Add(key, worth);
        return worth;
    }

    private double DaysOf(PanelZones panel)
    {
        if (isWide && panel.Thickness > 0)
            return double.NegativeInfinity;
        var changed = panel.IsNone ? saddle : lay(panel);
        double[]?[] read = [.. days.Select(day => changed.TryReadOn(trends.Back.On(day).Means)?.Numbers)];
        return read.Any(numbers => numbers is null) || IsWorseAsATree(read[0]!) ? double.NegativeInfinity : DaysWithin([.. read.OfType<double[]>()]);
    }

    // No thickness may bring a width or an angle to a limit it kept, or further beyond one it did not keep.
    private bool IsWorseAsATree(double[] numbers)
    {
        for (var i = 0; i < saddle.Keys.Count; i++)
        {
            var (limits, was, now) = (asIs[0][i].Limits, values[0][i], numbers[i]);
            if (MeasureFacts.IsOfWidth(saddle.Keys[i].Measure) && limits.IsWatched(now) && (!limits.IsWatched(was) || Math.Abs(now) > Math.Abs(was)))
                return true;
        }
        return false;
    }

    /// <summary>The area under the probability of being within on each day.</summary>
    private double DaysWithin(double[][] read)
    {
        var sum = 0.0;
        for (var node = 1; node < days.Length; node++)
            sum += .5 * (InsideOn(node - 1, read[node - 1]) + InsideOn(node, read[node])) * (days[node].DayNumber - days[node - 1].DayNumber);
        return sum;
    }

    private double InsideOn(int node, double[] numbers)
    {
        var inside = 1.0;
        for (var i = 0; i < saddle.Keys.Count; i++)
        {
            if (MeasureFacts.IsOfPanel(saddle.Keys[i].Measure) && asIs[node][i] is { Numbers: { } was } finding)
                inside *= 1 - Math.Min(1, OutOf(finding.Limits, was, (numbers[i] - values[node][i]) / was.Sd));
        }
        return inside;
    }

    private static double OutOf(Limits limits, in FindingNumbers was, double movedSds) =>
        (double.IsFinite(limits.OutBelow) ? Normal.Cdf(Sds(was.ProbabilityLow) - movedSds) : 0) + (double.IsFinite(limits.OutAbove) ? Normal.Cdf(Sds(was.ProbabilityHigh) + movedSds) : 0);

    private static double Sds(double probability) => probability <= 0 ? -MostSds : probability >= 1 ? MostSds : Math.Clamp(Normal.Quantile(probability), -MostSds, MostSds);
}
