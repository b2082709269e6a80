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

    private static T[] Shuffled<T>(ulong seed, T[] items)
    {
        var bits = new SplitMix64(seed);
        // Fisher and Yates.
        for (var i = items.Length - 1; i > 0; i--)
        {
            var j = (int)(bits.Next() % (ulong)(i + 1));
            (items[i], items[j]) = (items[j], items[i]);
        }
        return items;
    }
}
