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
    public static double[] Normals(int coordinate, int count) => Known.GetOrAdd((coordinate, count), wanted => Shuffled(
        (ulong)wanted.Coordinate, Enumerable.Range(0, wanted.Count).Select(i => Normal.Quantile((i + .5) / wanted.Count)).ToArray()));

    /// <summary>Whole numbers from 0 in an order that is the same every time.</summary>
    /// <param name="seed">Which order.</param>
    /// <param name="count">How many numbers.</param>
    public static int[] Order(int seed, int count) => Shuffled((ulong)seed, [.. Enumerable.Range(0, count)]);

    private static T[] Shuffled<T>(ulong state, T[] items)
    {
        // Fisher and Yates, driven by SplitMix64 (Steele, Lea and Flood 2014; from memory), whose numbers no runtime changes.
        for (var i = items.Length - 1; i > 0; i--)
        {
            var j = (int)(Next(ref state) % (ulong)(i + 1));
            (items[i], items[j]) = (items[j], items[i]);
        }
        return items;
    }

    private static ulong Next(ref ulong state)
    {
        var mixed = state += 0x9E3779B97F4A7C15;
        mixed = (mixed ^ (mixed >> 30)) * 0xBF58476D1CE4E5B9;
        mixed = (mixed ^ (mixed >> 27)) * 0x94D049BB133111EB;
        return mixed ^ (mixed >> 31);
    }
}
