using System.Text.RegularExpressions;

namespace BackTracker.Service.Pictures;

/// <summary>A section in words, for who cannot see the picture.</summary>
internal static partial class SectionWords
{
    public static string Title(SectionDrawing drawing) => $"{drawing.Station} of {drawing.HorseName} under {drawing.SaddleLabel}, {Engine.Words.Day(drawing.On)}";

    public static string Describe(SectionDrawing drawing) => string.Join(' ', Sentences(drawing));

    /// <summary>"A, 41 mm down: 4 mm wide on the left, 2 mm narrow on the right."</summary>
    public static string Compared(int index, DrawnDepth depth) => $"{Letter(index)}, {depth.DepthMm:0} mm down: {depth.Words}.";

    public static string Letter(int index) => ((char)('A' + index)).ToString();

    /// <summary>Lines no wider than that; a number keeps its unit.</summary>
    public static IReadOnlyList<string> Wrapped(string words, double widthPx)
    {
        var lines = new List<string> { "" };
        foreach (var word in Breaks().Split(words).Select(word => Svg.Cut(word, widthPx)))
        {
            if (lines[^1].Length > 0 && Svg.WidthOf($"{lines[^1]} {word}") > widthPx)
                lines.Add("");
            lines[^1] = lines[^1].Length > 0 ? $"{lines[^1]} {word}" : word;
        }
        return lines;
    }

    private static IEnumerable<string> Sentences(SectionDrawing drawing)
    {
        yield return drawing.Back.Count == 0
            ? $"Width of the back of {drawing.HorseName} at {drawing.Station}, seen from behind, as expected on {Engine.Words.Day(drawing.On)}."
            : $"Cross-section of the back of {drawing.HorseName} at {drawing.Station}, seen from behind, left on the left, as expected on {Engine.Words.Day(drawing.On)}, with the band that holds it with 80 %.";
        yield return drawing.Basis;
        yield return drawing.IsByWidths
            ? $"The tree of {drawing.SaddleLabel} is known by its widths, drawn as bars."
            : $"Over it the lower face of the panel of {drawing.SaddleLabel}, let down without tilting until its inner edges are on the skin.";
        for (var i = 0; i < drawing.Depths.Count; i++)
            yield return Compared(i, drawing.Depths[i]);
    }

    [GeneratedRegex(@"(?<!\d) ")]
    private static partial Regex Breaks();
}
