using System.Collections.Concurrent;
using System.Numerics;

namespace BackTracker.Engine.Numerics;

/// <summary>
/// Standard normal draws that are the same every time and fill the space of their first dimensions evenly (Sobol 1967 with the direction numbers of
/// Joe and Kuo 2008, SIAM J Sci Comput 30:2635-2654; from memory); dimensions after those are <see cref="EvenDraws"/>. Groups of them take the same
/// points in orders of their own (Latin supercube sampling: Owen 1998, ACM TOMACS 8:71-102; from memory).
/// </summary>
internal static class SobolDraws
{
    // Of each dimension after the first: the coefficients of its primitive polynomial between the ends, then its first direction numbers.
    private static readonly (int Inner, uint[] First)[] Directions =
    [
        (0, [1]), (1, [1, 3]), (1, [1, 3, 1]), (2, [1, 1, 1]), (1, [1, 1, 3, 3]), (4, [1, 3, 5, 13]), (2, [1, 1, 5, 5, 17]), (4, [1, 1, 5, 5, 5]),
        (7, [1, 1, 7, 11, 19]), (11, [1, 1, 5, 1, 1]), (13, [1, 1, 1, 3, 11]), (14, [1, 3, 5, 5, 31]), (1, [1, 3, 3, 9, 7, 49]),
        (13, [1, 1, 1, 15, 21, 21]), (16, [1, 3, 1, 13, 27, 49]),
    ];

    private static readonly ConcurrentDictionary<(int Group, int Dimension, int Count), double[]> Known = new();

    /// <summary>The draws of one dimension; kept, and not to be changed.</summary>
    /// <param name="group">Which group, from 0.</param>
    /// <param name="dimension">Which dimension of it, the weightiest first, from 0.</param>
    /// <param name="count">How many draws: a power of two.</param>
    public static double[] Normals(int group, int dimension, int count) => dimension > Directions.Length
        ? EvenDraws.Normals((dimension << 12) + group, count)
        : Known.GetOrAdd((group, dimension, count), wanted => Ordered(wanted.Group, Points(wanted.Dimension, wanted.Count)));

    private static double[] Ordered(int group, double[] points)
    {
        if (group == 0)
            return points;
        var order = EvenDraws.Order(group, points.Length);
        return Array.ConvertAll(order, at => points[at]);
    }

    private static double[] Points(int dimension, int count)
    {
        var bits = BitOperations.Log2((uint)count);
        var (directions, points) = (DirectionsOf(dimension, bits), new double[count]);
        for (var index = 0; index < count; index++)
        {
            var place = 0u;
            for (var bit = 0; bit < bits; bit++)
                place ^= (index >> bit & 1) == 1 ? directions[bit] : 0;
            points[index] = Normal.Quantile((place + .5) / count);
        }
        return points;
    }

    // As whole numbers of 1/count.
    private static uint[] DirectionsOf(int dimension, int bits)
    {
        var numbers = new uint[bits];
        var (inner, first) = dimension == 0 ? (0, []) : Directions[dimension - 1];
        for (var bit = 0; bit < bits; bit++)
            numbers[bit] = dimension == 0 ? 1 : bit < first.Length ? first[bit] : Next(numbers, bit, inner, first.Length);
        for (var bit = 0; bit < bits; bit++)
            numbers[bit] <<= bits - 1 - bit;
        return numbers;
    }

    private static uint Next(uint[] numbers, int bit, int inner, int degree)
    {
        var next = numbers[bit - degree] ^ (numbers[bit - degree] << degree);
        for (var term = 1; term < degree; term++)
            next ^= (inner >> (degree - 1 - term) & 1) == 1 ? numbers[bit - term] << term : 0;
        return next;
    }
}
