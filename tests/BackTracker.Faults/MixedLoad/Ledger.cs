using System.Collections.Concurrent;

namespace BackTracker.Faults.MixedLoad;

/// <summary>What was acknowledged, in a file that is flushed with every line, and what nobody can say of.</summary>
internal sealed class Ledger(string path) : IDisposable
{
    private readonly StreamWriter _file = new(path) { AutoFlush = true };
    private int _acknowledged;
    private int _refused;

    /// <summary>Work whose outcome is unknown, to be sent again.</summary>
    public ConcurrentQueue<Work> Unsettled { get; } = new();

    /// <summary>How many were acknowledged.</summary>
    public int Acknowledged => _acknowledged;

    /// <summary>How many were refused in so many words.</summary>
    public int Refused => _refused;

    /// <summary>How many had to be sent again.</summary>
    public int Unknown { get; private set; }

    public void Acknowledge(Work work, string id)
    {
        lock (_file)
            _file.WriteLine($"{work.Kind}\t{work.Key}\t{id}");
        Interlocked.Increment(ref _acknowledged);
    }

    public void Refuse() => Interlocked.Increment(ref _refused);

    public void Doubt(Work work)
    {
        lock (_file)
            Unknown++;
        Unsettled.Enqueue(work);
    }

    /// <summary>Everything acknowledged so far, as the file has it.</summary>
    public IReadOnlyList<(WorkKind Kind, string Key, string Id)> Read()
    {
        lock (_file)
        {
            using var reader = new StreamReader(new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite));
            return [.. reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.Split('\t')).Select(f => (Enum.Parse<WorkKind>(f[0]), f[1], f[2]))];
        }
    }

    public void Dispose() => _file.Dispose();
}
