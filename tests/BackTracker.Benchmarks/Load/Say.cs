using System.Globalization;

namespace BackTracker.Benchmarks.Load;

/// <summary>Lines of a report, in no language's way of writing numbers but the program's own.</summary>
internal static class Say
{
    public static void Line(FormattableString text) => Console.WriteLine(text.ToString(CultureInfo.InvariantCulture));
}
