namespace BackTracker.Service.Features.Imports;

/// <summary>Reads a file line by line, never more of it in memory than the longest line that is taken.</summary>
/// <param name="file">The file.</param>
internal sealed class LineReader(Stream file)
{
    /// <summary>Longest line that is taken, bytes: the largest assessment is far from it.</summary>
    public const int Longest = 4 << 20;

    private static ReadOnlySpan<byte> ByteOrderMark => [0xEF, 0xBB, 0xBF];

    private byte[] _bytes = new byte[1 << 16];
    private int _from;
    private int _to;
    private bool _ended;

    /// <summary>Number of the line that was read last, from 1.</summary>
    public long Number { get; private set; }

    /// <summary>Bytes that lie behind.</summary>
    public long Passed { get; private set; }

    /// <summary>Reads on; the line is good until the next is read, and null where it is too long to be taken.</summary>
    public bool TryRead(out ReadOnlyMemory<byte>? line)
    {
        var end = FindEnd();
        line = null;
        if (end < 0 && _to - _from >= Longest)
            return SkipRest();
        if (end < 0 && _from == _to)
            return false;
        var length = (end < 0 ? _to : end) - _from;
        var text = _bytes.AsMemory(_from, length);
        if (Number == 0 && text.Span.StartsWith(ByteOrderMark))
            text = text[ByteOrderMark.Length..];
        line = text.Span.EndsWith("\r"u8) ? text[..^1] : text;
        Pass(end < 0 ? length : length + 1);
        Number++;
        return true;
    }

    private bool SkipRest()
    {
        for (int end; ; Fill())
        {
            end = _bytes.AsSpan(_from, _to - _from).IndexOf((byte)'\n');
            Pass(end < 0 ? _to - _from : end + 1);
            if (end >= 0 || _ended)
                break;
        }
        Number++;
        return true;
    }

    private int FindEnd()
    {
        for (var searched = 0; ;)
        {
            var end = _bytes.AsSpan(_from + searched, _to - _from - searched).IndexOf((byte)'\n');
            if (end >= 0)
                return _from + searched + end;
            searched = _to - _from;
            if (_ended || searched >= Longest)
                return -1;
            Fill();
        }
    }

    private void Fill()
    {
        if (_from > 0)
        {
            _bytes.AsSpan(_from, _to - _from).CopyTo(_bytes);
            (_from, _to) = (0, _to - _from);
        }
        if (_to == _bytes.Length)
            Array.Resize(ref _bytes, 2 * _bytes.Length);
        var read = file.Read(_bytes, _to, _bytes.Length - _to);
        _ended = read == 0;
        _to += read;
    }

    private void Pass(int count)
    {
        _from += count;
        Passed += count;
    }
}
