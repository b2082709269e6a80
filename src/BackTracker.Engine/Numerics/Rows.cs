using System.Numerics;
using System.Runtime.InteropServices;

namespace BackTracker.Engine.Numerics;

/// <summary>Sums of long rows, as many numbers at a time as the processor takes.</summary>
internal static class Rows
{
    /// <summary>Adds a multiple of a row to another of the same length.</summary>
    public static void Add(Span<double> into, double times, ReadOnlySpan<double> row)
    {
        var wide = new Vector<double>(times);
        var wideInto = MemoryMarshal.Cast<double, Vector<double>>(into);
        var wideRow = MemoryMarshal.Cast<double, Vector<double>>(row);
        for (var i = 0; i < wideInto.Length; i++)
            wideInto[i] += wide * wideRow[i];
        for (var i = wideInto.Length * Vector<double>.Count; i < into.Length; i++)
            into[i] += times * row[i];
    }
}
