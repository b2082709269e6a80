using System.Globalization;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Features.Measurements;

/// <summary>
/// Points as people type or paste them: x and y on a line, with a blank, a tab, a semicolon or a comma between. A comma is a decimal comma
/// wherever something else parts the two numbers, or where there are three of them.
/// </summary>
internal static class TraceText
{
    private const int LongestShown = 24;
    private static readonly char[] Separators = [' ', '\u00a0', '\t', '\r', ';'];

    /// <summary>Reads the points; where a line cannot be read, says which.</summary>
    public static bool TryRead(string text, out IReadOnlyList<PointMm> points, out string fault)
    {
        var lines = text.Split('\n').Select((line, at) => (Number: at + 1, Text: line.Trim(), Parts: Parts(line))).Where(line => line.Text.Length > 0).ToList();
        var commasAreDecimal = lines.Exists(line => line.Parts is [var x, var y] && (x.Contains(',') || y.Contains(',')));
        var read = new List<PointMm>(lines.Count);
        (points, fault) = (read, "");
        foreach (var line in lines)
        {
            var pair = line.Parts is [var joined] && !commasAreDecimal ? AtCommas(joined) : line.Parts;
            if (pair is not [var x, var y] || !TryNumber(x, out var xMm) || !TryNumber(y, out var yMm))
            {
                fault = $"line {line.Number.ToString(CultureInfo.InvariantCulture)}: {Wrong(line.Text, line.Parts)}";
                return false;
            }
            read.Add(new PointMm(xMm, yMm));
        }
        return true;
    }

    /// <summary>The points as they are read again.</summary>
    public static string Write(IEnumerable<IReadOnlyList<double>> points) =>
        string.Join('\n', points.Select(point => string.Join(' ', point.Select(number => number.ToString(CultureInfo.InvariantCulture)))));

    private static string[] Parts(string line) =>
        [.. line.Split(Separators, StringSplitOptions.RemoveEmptyEntries).Select(part => part.Trim(',')).Where(part => part.Length > 0)];

    private static string[] AtCommas(string joined) => joined.Split(',') switch
    {
        [var x, var xTenths, var y, var yTenths] => [$"{x},{xTenths}", $"{y},{yTenths}"],
        var parts => parts,
    };

    private static bool TryNumber(string text, out double number) =>
        double.TryParse(text.Replace(',', '.').Replace('\u2212', '-'), NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out number)
        && double.IsFinite(number);

    private static string Wrong(string text, string[] parts) => parts is [var joined] && joined.Split(',') is [_, _, _]
        ? $"\"{text}\" can be read in two ways. Write a blank between the two numbers."
        : $"no two numbers in \"{(text.Length > LongestShown ? text[..LongestShown] + "..." : text)}\". Write x and y with a blank between.";
}
