using BackTracker.Engine.Fit;
using BackTracker.Engine.Numerics;
using BackTracker.Engine.Sections;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Forecasts;

/// <summary>Probability that some finding is out on a day and has been by it, surprises counted in.</summary>
/// <param name="On">That any is out on the day.</param>
/// <param name="By">That any has been out by it.</param>
/// <param name="ByAlone">The same as <paramref name="By"/> were they to know nothing of each other.</param>
internal readonly record struct AnyOut(double On, double By, double ByAlone);

/// <summary>
/// Findings of a saddle followed together along the paths its horse's back may take (<see cref="BackPaths"/>). Each keeps its own probability on
/// each day; the paths tell how much likelier it is to have been out before and come back, and how the findings go together. The error
/// of the tree stays the same along a path and is one of each finding's own.
/// </summary>
internal sealed class PairingPassage
{
    private const double Unlikely = .002;

    // Of rounding where a finding does not hang on a coordinate.
    private const double Slight = 1e-9;
    private readonly DateOnly start;
    private readonly int[] nodes;
    private readonly Followed[] followed;
    private readonly Dictionary<FindingKey, double[]> by = [];

    /// <summary>Follows findings from a day on.</summary>
    /// <param name="paths">The findings, none of which has younger evidence than the start.</param>
    /// <param name="back">The back.</param>
    /// <param name="start">First day.</param>
    /// <param name="length">Days after it that may be asked for.</param>
    public PairingPassage(IEnumerable<MovingPath> paths, BackTrends back, DateOnly start, int length)
    {
        (this.start, nodes) = (start, [.. PathGrid.DaysTo(length)]);
        followed = [.. paths.Select(path => new Followed(path, [.. nodes.Select(node => path.On(start.AddDays(node)))]))];
        Any = new AnyOut[nodes.Length];
        var likely = Array.FindAll(followed, path => path.Numbers.Any(numbers => MarginOf(numbers) >= Unlikely));
        var (alongs, walked) = (back.PathsFrom(start), new Walk(likely.Length));
        for (var node = 0; node < nodes.Length; node++)
        {
            if (node < PathGrid.Usual.Count)
                walked.Next(likely, alongs, node, start.AddDays(nodes[node]));
            Settle(node, likely, walked);
        }
        foreach (var path in followed)
            by.Add(path.Path.Key, path.By);
    }

    /// <summary>Of each node: the probability that some finding is out.</summary>
    public AnyOut[] Any { get; }

    /// <summary>Of each node: the probability that a finding has been out by it, surprises counted in.</summary>
    public double[] By(FindingKey key) => by[key];

    private void Settle(int node, Followed[] likely, Walk walk)
    {
        var (on, together, alone, noSurprise) = (1.0, 1.0, 1.0, 1.0);
        foreach (var path in followed)
        {
            var numbers = path.Numbers[node];
            var margin = MarginOf(numbers);
            var quiet = margin < 1 ? (1 - numbers.ProbabilityOut) / (1 - margin) : 1;
            var index = Array.IndexOf(likely, path);
            path.Margin = Math.Min(1, Math.Max(path.Margin, margin + (index < 0 ? 0 : walk.Later(index))));
            path.By[node] = 1 - ((1 - path.Margin) * quiet);
            (on, alone, noSurprise) = (on * (1 - margin), alone * (1 - path.Margin), Math.Min(noSurprise, quiet));
        }
        // What nobody foresees happens to the horse once, not once a finding.
        on = Math.Clamp(on + walk.Shared.On, 0, 1);
        together = Math.Clamp(alone + walk.Shared.By, 0, on);
        Any[node] = new AnyOut(1 - (on * noSurprise), 1 - (together * noSurprise), 1 - (alone * noSurprise));
    }

    private static double MarginOf(in FindingNumbers numbers) => Math.Min(1, numbers.ProbabilityLow + numbers.ProbabilityHigh);

    private sealed class Followed(MovingPath path, FindingNumbers[] numbers)
    {
        public MovingPath Path => path;

        public FindingNumbers[] Numbers => numbers;

        public double[] By { get; } = new double[numbers.Length];

        public double Margin { get; set; }

        public StayingInside Inside { get; } = new([.. Enumerable.Repeat(path.TreeSd, BackPaths.Count)]);
    }

    /// <summary>The likely findings on their way, all paths of one day at a time.</summary>
    private sealed class Walk(int count)
    {
        private readonly double[] later = new double[count];
        private readonly double[] off = new double[BackPaths.Count];
        private readonly double[] allOn = new double[BackPaths.Count];
        private readonly double[] allBy = new double[BackPaths.Count];

        /// <summary>By how much all are likelier to be inside together than if they knew nothing of each other: on a day, and by it.</summary>
        public (double On, double By) Shared { get; private set; }

        /// <summary>By how much a finding is likelier to have been out by a day than to be out on it.</summary>
        public double Later(int index) => later[index];

        public void Next(Followed[] likely, BackPaths alongs, int node, DateOnly day)
        {
            Array.Fill(allOn, 1);
            Array.Fill(allBy, 1);
            var (aloneOn, aloneBy) = (1.0, 1.0);
            for (var i = 0; i < likely.Length; i++)
            {
                var inside = likely[i].Inside;
                Follow(likely[i].Path, alongs, node, day);
                inside.Next(off, likely[i].Path.RoomOn(day));
                var (on, by) = (Multiply(allOn, inside.On), Multiply(allBy, inside.By));
                later[i] = on - by;
                (aloneOn, aloneBy) = (aloneOn * on, aloneBy * by);
            }
            Shared = (allOn.Average() - aloneOn, allBy.Average() - aloneBy);
        }

        private void Follow(MovingPath path, BackPaths alongs, int node, DateOnly day)
        {
            var slopes = path.SlopesOn(day);
            Array.Clear(off);
            for (var coordinate = 0; coordinate < slopes.Length; coordinate++)
            {
                if (Math.Abs(slopes[coordinate]) > Slight)
                    Rows.Add(off, slopes[coordinate], alongs.OffOn(coordinate, node));
            }
        }

        private static double Multiply(double[] all, double[] one)
        {
            var sum = 0.0;
            for (var path = 0; path < all.Length; path++)
            {
                sum += one[path];
                all[path] *= one[path];
            }
            return sum / all.Length;
        }
    }
}
