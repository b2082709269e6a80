namespace BackTracker.Service.Features.Imports;

/// <summary>What is wrong with a file, by line.</summary>
internal sealed class ImportFaults
{
    private readonly SortedDictionary<long, List<string>> _byLine = [];

    public bool Any => _byLine.Count > 0;

    public IEnumerable<string> Lines => _byLine.SelectMany(l => l.Value.Select(text => $"line {l.Key}: {text}"));

    public void Add(long line, string text)
    {
        if (!_byLine.TryGetValue(line, out var texts))
            _byLine[line] = texts = [];
        texts.Add(text);
    }
}
