using System.Buffers.Binary;

namespace BackTracker.Service.Features.Imports;

/// <summary>The order in which rows are taken: horse by horse, then by instant, then by line.</summary>
internal readonly record struct RowKey(int Horse, long Ticks, long Line) : IComparable<RowKey>
{
    public const int Bytes = 20;

    public int CompareTo(RowKey other) =>
        Horse != other.Horse ? Horse.CompareTo(other.Horse) : Ticks != other.Ticks ? Ticks.CompareTo(other.Ticks) : Line.CompareTo(other.Line);

    public void Write(Span<byte> to)
    {
        BinaryPrimitives.WriteInt32LittleEndian(to, Horse);
        BinaryPrimitives.WriteInt64LittleEndian(to[4..], Ticks);
        BinaryPrimitives.WriteInt64LittleEndian(to[12..], Line);
    }

    public static RowKey Read(ReadOnlySpan<byte> from) => new(
        BinaryPrimitives.ReadInt32LittleEndian(from), BinaryPrimitives.ReadInt64LittleEndian(from[4..]), BinaryPrimitives.ReadInt64LittleEndian(from[12..]));
}

/// <summary>
/// Sorts any number of rows in a fixed amount of memory: as many as fit are sorted and put into a file, and the files are merged. A book is
/// rarely in one order, and the rows of one measurement need not stand together.
/// </summary>
/// <param name="folder">Where the files may lie.</param>
internal sealed class RowSort(string folder) : IDisposable
{
    private const int MemoryBytes = 8 << 20;
    private byte[] _bytes = new byte[1 << 16];
    private readonly List<(RowKey Key, int From, int Length)> _rows = [];
    private readonly List<FileStream> _runs = [];
    private int _used;

    public void Add(RowKey key, ReadOnlySpan<byte> row)
    {
        if (_used > 0 && _used + row.Length > MemoryBytes)
            Spill();
        if (_used + row.Length > _bytes.Length)
            Array.Resize(ref _bytes, Math.Max(Math.Min(2 * _bytes.Length, MemoryBytes), _used + row.Length));
        row.CopyTo(_bytes.AsSpan(_used));
        _rows.Add((key, _used, row.Length));
        _used += row.Length;
    }

    /// <summary>All rows in order. The bytes are good until the next row is asked for.</summary>
    public IEnumerable<(RowKey Key, ReadOnlyMemory<byte> Row)> Sorted()
    {
        if (_runs.Count > 0)
            Spill();
        return _runs.Count == 0 ? InMemory() : Merged();
    }

    public void Dispose()
    {
        foreach (var run in _runs)
            run.Dispose();
    }

    private IEnumerable<(RowKey, ReadOnlyMemory<byte>)> InMemory()
    {
        _rows.Sort((a, b) => a.Key.CompareTo(b.Key));
        foreach (var (key, from, length) in _rows)
            yield return (key, _bytes.AsMemory(from, length));
    }

    private IEnumerable<(RowKey, ReadOnlyMemory<byte>)> Merged()
    {
        var next = new PriorityQueue<Run, RowKey>();
        foreach (var file in _runs)
            if (new Run(file) is var run && run.TryRead())
                next.Enqueue(run, run.Key);
        while (next.Count > 0)
        {
            var run = next.Peek();
            yield return (run.Key, run.Row);
            if (run.TryRead())
                next.DequeueEnqueue(run, run.Key);
            else
                next.Dequeue();
        }
    }

    private void Spill()
    {
        var run = TempFile.Create(folder);
        _runs.Add(run);
        Span<byte> head = stackalloc byte[RowKey.Bytes + 4];
        foreach (var (key, row) in InMemory())
        {
            key.Write(head);
            BinaryPrimitives.WriteInt32LittleEndian(head[RowKey.Bytes..], row.Length);
            run.Write(head);
            run.Write(row.Span);
        }
        run.Position = 0;
        _rows.Clear();
        _used = 0;
    }

    private sealed class Run(FileStream file)
    {
        private readonly byte[] _head = new byte[RowKey.Bytes + 4];
        private byte[] _row = new byte[256];

        public RowKey Key { get; private set; }

        public ReadOnlyMemory<byte> Row { get; private set; }

        public bool TryRead()
        {
            if (file.ReadAtLeast(_head, _head.Length, throwOnEndOfStream: false) < _head.Length)
                return false;
            Key = RowKey.Read(_head);
            var length = BinaryPrimitives.ReadInt32LittleEndian(_head.AsSpan(RowKey.Bytes));
            if (length > _row.Length)
                _row = new byte[Math.Max(length, 2 * _row.Length)];
            file.ReadExactly(_row, 0, length);
            Row = _row.AsMemory(0, length);
            return true;
        }
    }
}
