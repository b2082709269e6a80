using System.Globalization;
using BackTracker.Storage;

namespace BackTracker.Service.Hosting;

/// <summary>How many files and connections the system lets this process hold open at once. A runtime that finds none left for one of its own libraries ends the process.</summary>
internal static class Descriptors
{
    // Libraries take about 300; stores, webhooks and letters the rest.
    private const int KeptBack = 500;
    private const int Least = 600;
    private const string Limits = "/proc/self/limits";
    private static readonly int Most = Read();

    /// <summary>How many connections there is room for, of those that are wanted. Each of those beyond is open for a moment too, until it is closed.</summary>
    public static int Connections(int wanted) => Math.Min(wanted, (Most - KeptBack) / 2);

    /// <exception cref="StorageException">There is no room for any.</exception>
    public static void Check()
    {
        if (Most < Least)
            throw new StorageException($"This process may hold {Most} files open at once, which is too few: allow it {Least} or more (ulimit -n).");
    }

    // proc(5); where it is not there, nobody has said how many.
    private static int Read()
    {
        var line = File.Exists(Limits) ? File.ReadLines(Limits).FirstOrDefault(line => line.StartsWith("Max open files", StringComparison.Ordinal)) : null;
        return int.TryParse(line?.Split(' ', StringSplitOptions.RemoveEmptyEntries)[3], CultureInfo.InvariantCulture, out var most) ? most : int.MaxValue;
    }
}
