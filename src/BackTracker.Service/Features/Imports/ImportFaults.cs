namespace BackTracker.Service.Features.Imports;

/// <summary>What is wrong with a line of a file.</summary>
/// <param name="Line">Number of the line, from 1.</param>
/// <param name="Member">The column, or the place in the record by JSON pointer without its first stroke; empty where it is the line as a whole.</param>
/// <param name="Text">What is wrong and how to mend it.</param>
public sealed record ImportFault(long Line, string Member, string Text)
{
    public override string ToString() => Member.Length == 0 ? $"line {Line}: {Text}" : $"line {Line}: {Member}: {Text}";
}

/// <summary>What is wrong with a file, by line. All of it is counted, and the first hundred are kept: a file may be wrong from end to end. Two threads may name faults at once.</summary>
internal sealed class ImportFaults
{
    public const int MostListed = 100;
    private const int LongestQuote = 80;
    private readonly Lock _gate = new();
    private readonly SortedList<(long Line, long Nth), ImportFault> _first = [];
    private long _count;

    public long Count => Volatile.Read(ref _count);

    public bool Any => Count > 0;

    /// <summary>The first of them by line.</summary>
    public IReadOnlyList<ImportFault> First => [.. _first.Values];

    public void Add(long line, string member, string text)
    {
        lock (_gate)
        {
            _count++;
            if (_first.Count == MostListed && _first.GetKeyAtIndex(MostListed - 1).Line <= line)
                return;
            _first.Add((line, _count), new ImportFault(line, member, text));
            if (_first.Count > MostListed)
                _first.RemoveAt(MostListed);
        }
    }

    /// <summary>What a file says, short enough to be said again.</summary>
    public static string Quote(string text) => text.Length <= LongestQuote ? $"`{text}`" : $"`{text[..LongestQuote]}...`";
}
