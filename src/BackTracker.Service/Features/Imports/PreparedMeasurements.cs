using System.Text;
using BackTracker.Storage.Measurements;

namespace BackTracker.Service.Features.Imports;

/// <summary>A measurement that is ready to be written, with what is told of it.</summary>
/// <param name="Row">The measurement.</param>
/// <param name="RepeatAdvised">Codes of the advice to measure again.</param>
/// <param name="EventIds">Ids of the events that tell of it: that it was recorded, and where so, that a repeat is advised; empty for one that nobody is told of.</param>
internal sealed record PreparedMeasurement(MeasurementRow Row, IReadOnlyList<string> RepeatAdvised, IReadOnlyList<string> EventIds);

/// <summary>Measurements that are ready to be written, in a file of their own; gone through as often as need be.</summary>
internal sealed class PreparedMeasurements : IDisposable
{
    private readonly FileStream _file;
    private readonly MemoryStream _rest = new();
    private readonly BinaryWriter _head;
    private readonly BinaryWriter _to;

    public PreparedMeasurements(string folder)
    {
        _file = TempFile.Create(folder);
        _head = new BinaryWriter(_file, Encoding.UTF8, leaveOpen: true);
        _to = new BinaryWriter(_rest);
    }

    public int Count { get; private set; }

    /// <summary>Whether any of them corrects another.</summary>
    public bool AnyCorrects { get; private set; }

    public void Add(PreparedMeasurement prepared)
    {
        var row = prepared.Row;
        _rest.SetLength(0);
        foreach (var text in new[] { row.MeasuredAt, row.MeasuredOn, row.MeasuredBy, row.Method, row.Exercise, row.Body, row.Advice, row.Corrects, row.VoidedAt, row.VoidReason, row.CreatedAt })
            Write(text);
        _to.Write(row.Version);
        WriteAll(prepared.RepeatAdvised);
        WriteAll(prepared.EventIds);
        _head.Write(row.Id);
        _head.Write(row.HorseId);
        _head.Write((int)_rest.Length);
        _head.Write(_rest.GetBuffer(), 0, (int)_rest.Length);
        Count++;
        AnyCorrects |= row.Corrects is not null;
    }

    public IEnumerable<PreparedMeasurement> All() => Read((id, horseId, from) =>
    {
        from.ReadInt32();
        return new PreparedMeasurement(ReadRow(id, horseId, from), ReadAll(from), ReadAll(from));
    });

    /// <summary>Which they are and of which horse; the rest is passed over.</summary>
    public IEnumerable<(string Id, string HorseId)> Ids() => Read((id, horseId, from) =>
    {
        var length = from.ReadInt32();
        from.BaseStream.Seek(length, SeekOrigin.Current);
        return (id, horseId);
    });

    private IEnumerable<T> Read<T>(Func<string, string, BinaryReader, T> one)
    {
        _head.Flush();
        _file.Position = 0;
        using var from = new BinaryReader(_file, Encoding.UTF8, leaveOpen: true);
        for (var i = 0; i < Count; i++)
            yield return one(from.ReadString(), from.ReadString(), from);
    }

    public void Dispose()
    {
        _head.Dispose();
        _to.Dispose();
        _file.Dispose();
    }

    private static MeasurementRow ReadRow(string id, string horseId, BinaryReader from) => new()
    {
        Id = id,
        HorseId = horseId,
        MeasuredAt = from.ReadString(),
        MeasuredOn = from.ReadString(),
        MeasuredBy = ReadIfAny(from),
        Method = from.ReadString(),
        Exercise = from.ReadString(),
        Body = from.ReadString(),
        Advice = from.ReadString(),
        Corrects = ReadIfAny(from),
        VoidedAt = ReadIfAny(from),
        VoidReason = ReadIfAny(from),
        CreatedAt = from.ReadString(),
        Version = from.ReadInt64(),
    };

    // No column that may be null holds an empty text.
    private void Write(string? text) => _to.Write(text ?? "");

    private static string? ReadIfAny(BinaryReader from) => from.ReadString() is { Length: > 0 } text ? text : null;

    private void WriteAll(IReadOnlyList<string> texts)
    {
        _to.Write((byte)texts.Count);
        foreach (var text in texts)
            _to.Write(text);
    }

    private static string[] ReadAll(BinaryReader from)
    {
        var texts = new string[from.ReadByte()];
        for (var i = 0; i < texts.Length; i++)
            texts[i] = from.ReadString();
        return texts;
    }
}
