using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>Lines of equal pressure on a grid of patches: straight across each square of four neighbours (marching squares), and joined where squares meet.</summary>
internal static class ContourLines
{
    /// <summary>The lines at a level, each from end to end.</summary>
    /// <param name="points">Middle of each patch, strip by strip.</param>
    /// <param name="pressures">How hard each presses; NaN where it is not known.</param>
    /// <param name="level">The level.</param>
    public static IReadOnlyList<IReadOnlyList<PointMm>> Of(IReadOnlyList<IReadOnlyList<PointMm>> points, IReadOnlyList<IReadOnlyList<double>> pressures, double level)
    {
        var segments = new List<(Crossing From, Crossing To)>();
        for (var strip = 0; strip < points.Count - 1; strip++)
        {
            for (var cell = 0; cell < points[strip].Count - 1; cell++)
                segments.AddRange(Across([(strip, cell), (strip, cell + 1), (strip + 1, cell + 1), (strip + 1, cell)], pressures, level));
        }
        return [.. Joined(segments).Select(line => line.ConvertAll(crossing => Place(crossing, points, pressures, level)))];
    }

    private static IEnumerable<(Crossing, Crossing)> Across((int Strip, int Cell)[] corners, IReadOnlyList<IReadOnlyList<double>> pressures, double level)
    {
        bool? Above(int i) => pressures[corners[i].Strip][corners[i].Cell] is var value && double.IsNaN(value) ? null : value >= level;
        if (Enumerable.Range(0, 4).Any(i => Above(i) is null))
            return [];
        Crossing[] crossed = [.. Enumerable.Range(0, 4).Where(i => Above(i) != Above((i + 1) % 4)).Select(i => Crossing.Between(corners[i], corners[(i + 1) % 4]))];
        // On a saddle of four crossings either way of joining them will do.
        return crossed.Chunk(2).Select(pair => (pair[0], pair[1]));
    }

    private static List<List<Crossing>> Joined(List<(Crossing From, Crossing To)> segments)
    {
        var (open, lines) = (segments.ToHashSet(), new List<List<Crossing>>());
        var ends = segments.SelectMany(segment => new[] { (segment.From, segment), (segment.To, segment) }).ToLookup(end => end.Item1, end => end.segment);
        foreach (var segment in segments)
        {
            if (!open.Remove(segment))
                continue;
            var line = new List<Crossing> { segment.From, segment.To };
            GoOn(line);
            line.Reverse();
            GoOn(line);
            lines.Add(line);
        }
        return lines;

        void GoOn(List<Crossing> line)
        {
            while (ends[line[^1]].FirstOrDefault(open.Contains) is var next && open.Remove(next))
                line.Add(next.From == line[^1] ? next.To : next.From);
        }
    }

    private static PointMm Place(Crossing crossing, IReadOnlyList<IReadOnlyList<PointMm>> points, IReadOnlyList<IReadOnlyList<double>> pressures, double level)
    {
        var (a, b) = (crossing.A, crossing.B);
        var (from, to) = (pressures[a.Strip][a.Cell], pressures[b.Strip][b.Cell]);
        var share = (level - from) / (to - from);
        return new(double.Lerp(points[a.Strip][a.Cell].X, points[b.Strip][b.Cell].X, share), double.Lerp(points[a.Strip][a.Cell].Y, points[b.Strip][b.Cell].Y, share));
    }

    /// <summary>A place between two neighbours, whichever way round they were met.</summary>
    private readonly record struct Crossing((int Strip, int Cell) A, (int Strip, int Cell) B)
    {
        public static Crossing Between((int, int) a, (int, int) b) => a.CompareTo(b) < 0 ? new(a, b) : new(b, a);
    }
}
