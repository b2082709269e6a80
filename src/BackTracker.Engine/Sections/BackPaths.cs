using BackTracker.Engine.Numerics;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Sections;

/// <summary>
/// Paths a whole back may take from a day on: one path of every coordinate each, driven together as far as the coordinates' errors go together. Worked
/// out when first asked for. For one thread.
/// </summary>
internal sealed class BackPaths(BackTrends back, DateOnly start)
{
    /// <summary>How many.</summary>
    public const int Count = 512;

    private readonly Dictionary<int, (LevelPaths Paths, List<double[]> Nodes)> known = [];

    /// <summary>By how much a coordinate lies off its expected value on each path.</summary>
    /// <param name="coordinate">The coordinate.</param>
    /// <param name="node">Day of the usual grid after the start.</param>
    public double[] OffOn(int coordinate, int node)
    {
        if (!known.TryGetValue(coordinate, out var found))
            known.Add(coordinate, found = (back.TrendOf(coordinate).PathsFrom(start, PathGrid.Usual, dimension => Normals(coordinate, dimension)), []));
        while (found.Nodes.Count <= node)
            found.Nodes.Add(Off(found.Paths, coordinate, found.Nodes.Count));
        return found.Nodes[node];
    }

    private double[] Off(LevelPaths paths, int coordinate, int node)
    {
        var (levels, mean) = (paths.On(node), back.On(start.AddDays((int)PathGrid.Usual[node])).Means[coordinate]);
        foreach (ref var level in levels.AsSpan())
            level -= mean;
        return levels;
    }

    private double[] Normals(int coordinate, int dimension)
    {
        var normals = new double[Count];
        for (var direction = 0; direction <= coordinate; direction++)
        {
            if (back.ShareOf(coordinate, direction) is not 0 and var share)
                Rows.Add(normals, share, SobolDraws.Normals(direction, dimension, Count));
        }
        return normals;
    }
}
