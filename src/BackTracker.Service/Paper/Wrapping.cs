namespace BackTracker.Service.Paper;

/// <summary>Text in lines of a given width.</summary>
internal static class Wrapping
{
    /// <summary>Readable text broken between words, and within a word that is wider than a line.</summary>
    public static IReadOnlyList<string> Lines(Typeface face, double size, double widthPt, string text)
    {
        var lines = new List<string>();
        var line = "";
        foreach (var word in Words(WinAnsi.Readable(text)).SelectMany(word => Pieces(face, size, widthPt, word)))
        {
            var longer = line.Length == 0 ? word : $"{line} {word}";
            if (face.WidthOf(longer, size) <= widthPt)
            {
                line = longer;
                continue;
            }
            lines.Add(line);
            line = word;
        }
        lines.Add(line);
        return lines;
    }

    /// <summary>Readable text cut to a line of its own, with dots where something is left out.</summary>
    public static string Cut(Typeface face, double size, double widthPt, string text)
    {
        var readable = WinAnsi.Readable(text);
        if (face.WidthOf(readable, size) <= widthPt)
            return readable;
        while (readable.Length > 0 && face.WidthOf(readable + "...", size) > widthPt)
            readable = readable[..^1];
        return readable.TrimEnd() + "...";
    }

    // A number stays with its unit.
    private static IEnumerable<string> Words(string readable)
    {
        var words = readable.Split(' ');
        for (var i = 0; i < words.Length; i++)
        {
            var withUnit = words[i].Length > 0 && char.IsAsciiDigit(words[i][^1]) && i + 1 < words.Length
                && (words[i + 1].StartsWith('%') || words[i + 1].StartsWith("mm", StringComparison.Ordinal));
            yield return withUnit ? $"{words[i]} {words[++i]}" : words[i];
        }
    }

    private static IEnumerable<string> Pieces(Typeface face, double size, double widthPt, string word)
    {
        var start = 0;
        for (var end = 1; end <= word.Length; end++)
        {
            if (end - start > 1 && face.WidthOf(word[start..end], size) > widthPt)
            {
                yield return word[start..(end - 1)];
                start = end - 1;
            }
        }
        yield return word[start..];
    }
}
