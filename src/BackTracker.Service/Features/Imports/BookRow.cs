using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Measurements;

namespace BackTracker.Service.Features.Imports;

/// <summary>One line of a CSV file. Cells are read by the rules of the API's JSON; an empty cell says nothing.</summary>
internal sealed record BookRow
{
    public required long Line { get; init; }

    /// <summary>Where it stands in the file, bytes.</summary>
    public long Offset { get; init; }

    /// <summary>What the file calls the horse.</summary>
    public string Horse { get; init; } = "";

    /// <summary>What the file calls the person, and later the person's id; empty where the key says who it is.</summary>
    public string Person { get; init; } = "";

    public required DateTimeOffset MeasuredAt { get; init; }

    public required MeasuringMethod Method { get; init; }

    public required ExerciseState? Exercise { get; init; }

    public required WidthValues? Width { get; init; }

    public required double? WeightKg { get; init; }

    public required double? GirthMm { get; init; }

    public required double? ConditionScore1to9 { get; init; }

    public required string? Note { get; init; }

    public void Write(BinaryWriter to)
    {
        to.Write(Line);
        to.Write(Person);
        to.Write(MeasuredAt.UtcTicks);
        to.Write((byte)Method);
        to.Write((sbyte)(Exercise is { } exercise ? (int)exercise : -1));
        to.Write(Width is not null);
        if (Width is not null)
            WriteWidth(to, Width);
        WriteNumber(to, WeightKg);
        WriteNumber(to, GirthMm);
        WriteNumber(to, ConditionScore1to9);
        to.Write(Note ?? "");
    }

    public static BookRow Read(BinaryReader from) => new()
    {
        Line = from.ReadInt64(),
        Person = from.ReadString(),
        MeasuredAt = new DateTimeOffset(from.ReadInt64(), TimeSpan.Zero),
        Method = (MeasuringMethod)from.ReadByte(),
        Exercise = from.ReadSByte() is var exercise and >= 0 ? (ExerciseState)exercise : null,
        Width = from.ReadBoolean() ? ReadWidth(from) : null,
        WeightKg = ReadNumber(from),
        GirthMm = ReadNumber(from),
        ConditionScore1to9 = ReadNumber(from),
        Note = from.ReadString() is { Length: > 0 } note ? note : null,
    };

    private static void WriteWidth(BinaryWriter to, WidthValues width)
    {
        to.Write(width.Station ?? "");
        WriteNumber(to, width.DepthMm);
        WriteNumber(to, width.WidthMm);
        WriteNumber(to, width.LeftHalfMm);
        WriteNumber(to, width.RightHalfMm);
        WriteNumber(to, width.Repeat);
    }

    private static WidthValues ReadWidth(BinaryReader from) => new()
    {
        Station = from.ReadString() is { Length: > 0 } station ? station : null,
        DepthMm = (int?)ReadNumber(from),
        WidthMm = ReadNumber(from),
        LeftHalfMm = ReadNumber(from),
        RightHalfMm = ReadNumber(from),
        Repeat = (int?)ReadNumber(from),
    };

    // What was read is finite: what is not stands for what was not said.
    private static void WriteNumber(BinaryWriter to, double? number) => to.Write(number ?? double.NaN);

    private static double? ReadNumber(BinaryReader from) => from.ReadDouble() is var number && double.IsNaN(number) ? null : number;
}
