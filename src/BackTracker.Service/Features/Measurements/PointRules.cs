using BackTracker.Engine.Measures;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Measurements;

/// <summary>Where the points of a drawing can lie, mm.</summary>
internal readonly record struct Box(double Left, double Right, double Top, double Bottom)
{
    public bool Holds(PointMm point) => point.X >= Left && point.X <= Right && point.Y >= Top && point.Y <= Bottom;
}

/// <summary>Reads points that arrive as pairs of numbers.</summary>
internal static class PointRules
{
    /// <summary>The points; what is no pair or lies where nothing of a horse can is named, the first of them alone.</summary>
    public static IReadOnlyList<PointMm> Read(Faults faults, string pointer, IReadOnlyList<IReadOnlyList<double>> pairs, Box plausible)
    {
        var points = new List<PointMm>(pairs.Count);
        for (var i = 0; i < pairs.Count; i++)
        {
            if (pairs[i] is not [var x, var y])
                return Refuse(faults, $"{pointer}/{i}", "A point is a pair [x mm, y mm].");
            var point = new PointMm(x, y);
            if (!plausible.Holds(point))
                return Refuse(faults, $"{pointer}/{i}", FormattableString.Invariant(
                    $"({x:0.#}, {y:0.#}) mm is off the horse: x lies from {plausible.Left:0} to {plausible.Right:0} and y from {plausible.Top:0} to {plausible.Bottom:0} mm."));
            points.Add(point);
        }
        return points;
    }

    /// <summary>The points of pairs that were checked.</summary>
    public static PointMm[] Of(IReadOnlyList<IReadOnlyList<double>> pairs) => [.. pairs.Select(Of)];

    /// <summary>The point of a pair that was checked.</summary>
    public static PointMm Of(IReadOnlyList<double> pair) => new(pair[0], pair[1]);

    private static IReadOnlyList<PointMm> Refuse(Faults faults, string pointer, string text)
    {
        faults.Add(pointer, text);
        return [];
    }
}
