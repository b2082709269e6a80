namespace BackTracker.Engine.Repeatability;

/// <summary>
/// The part of the error that repeats one after the other do not show (the station found again, the stance), by analysis of variance of
/// repeats within sessions within short spans of one horse, in which its back does not change.
/// </summary>
/// <remarks>Analysis of variance estimators of unequal nested designs: Searle, Casella and McCulloch 1992, Variance Components, chapter 3 (from memory).</remarks>
/// <param name="Repeats">Scatter of repeats within sessions.</param>
/// <param name="Sessions">Scatter of session means within spans, each weighted with its repeats.</param>
/// <param name="Share">How often the variance between sessions is in the expected sum of squares of <paramref name="Sessions"/>.</param>
public readonly record struct NestedSessions(RepeatScatter Repeats, RepeatScatter Sessions, double Share)
{
    /// <summary>Analyses spans.</summary>
    /// <param name="spans">Spans, in each the sessions, in each the repeats, at least one. A span of one session says nothing of sessions.</param>
    public static NestedSessions Of(IEnumerable<IReadOnlyList<IReadOnlyList<double>>> spans)
    {
        ArgumentNullException.ThrowIfNull(spans);
        var (repeats, sessions, share) = (default(RepeatScatter), default(RepeatScatter), 0.0);
        foreach (var span in spans)
        {
            double all = span.Sum(session => session.Count);
            var mean = span.Sum(session => session.Sum()) / all;
            repeats += RepeatScatter.OfAll(span);
            sessions += new RepeatScatter(span.Count - 1, span.Sum(session => session.Count * Square(session.Average() - mean)));
            share += all - (span.Sum(session => (double)session.Count * session.Count) / all);
        }
        return new NestedSessions(repeats, sessions, share);
    }

    /// <summary>Variance between sessions, squared unit; 0 where they differ no more than repeats do, NaN where no span has two sessions.</summary>
    /// <param name="repeatVar">Variance of one reading within its session.</param>
    public double SessionVar(double repeatVar) =>
        Share > 0 ? Math.Max(0, (Sessions.SumOfSquares - (Sessions.DegreesOfFreedom * repeatVar)) / Share) : double.NaN;

    private static double Square(double x) => x * x;
}
