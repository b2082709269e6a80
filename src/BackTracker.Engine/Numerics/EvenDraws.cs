using System.Collections.Concurrent;

namespace BackTracker.Engine.Numerics;

/// <summary>
/// Standard normal draws that are the same every time and spread evenly: in each coordinate one from each of as many equally likely
/// strata (Latin hypercube: McKay, Beckman and Conover 1979, Technometrics 21:239, from memory), in an order of its own.
/// </summary>
internal static class EvenDraws
{
    private static readonly ConcurrentDictionary<(int Coordinate, int Count), double[]> Known = new();

    /// <summary>The draws of one coordinate; kept, and not to be changed.</summary>
    /// <param name="coordinate">Which coordinate, from 0.</param>
    /// <param name="count">How many draws.</param>
    public static double[] Normals(int coordinate, int count) => Known.GetOrAdd((coordinate, count), wanted => Shuffled(wanted.Coordinate, wanted.Count));

    private static double[] Shuffled(int coordinate, int count)
    {
        double[] draws = [.. Enumerable.Range(0, count).Select(i => Normal.Quantile((i + .5) / count))];
        var state = (ulong)coordinate;
        // Fisher and Yates, driven by SplitMix64 (Steele, Lea and Flood 2014; from memory), whose numbers no runtime changes.
        for (var i = count - 1; i > 0; i--)
        {
            var j = (int)(Next(ref state) % (ulong)(i + 1));
            (draws[i], draws[j]) = (draws[j], draws[i]);
        }
        return draws;
    }

    private static ulong Next(ref ulong state)
    {
        var mixed = state += 0x9E3779B97F4A7C15;
        mixed = (mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9;
        mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EB;
        return mixed ^ (mixed >> 31);
    }
}
