using System.Globalization;
using BackTracker.Engine.Simulation;

namespace BackTracker.Service.Commands;

/// <summary>Tables parted by tabs to standard output, how far it is to standard error.</summary>
internal static class SimulationTables
{
    public static T[] Each<T>(SimulatedHorse[] herd, string what, int threads, Func<SimulatedHorse, T> live)
    {
        var began = TimeProvider.System.GetTimestamp();
        T[] made = [.. herd.AsParallel().AsOrdered().WithDegreeOfParallelism(threads).Select(live)];
        Console.Error.WriteLine($"{what}: {Number(herd.Length, 0)} horses in {Number(TimeProvider.System.GetElapsedTime(began).TotalSeconds, 0)} s");
        return made;
    }

    public static string Name(SimulatedClass kind) => Http.Words.Write(kind);

    public static string Told(Estimate estimate, int decimals) => $"{Number(estimate.Value, decimals)} ({Number(estimate.Low, decimals)} to {Number(estimate.High, decimals)})";

    public static string Number(double value, int decimals) => double.IsFinite(value) ? value.ToString($"F{decimals}", CultureInfo.InvariantCulture) : "-";

    public static void Head(params string[] cells)
    {
        Console.WriteLine();
        Row(cells);
    }

    public static void Row(params string[] cells) => Console.WriteLine(string.Join('\t', cells));
}
