using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;

namespace BackTracker.Service.Features.Imports;

/// <summary>A measurement of a file, before it was looked at.</summary>
/// <param name="Horse">The horse.</param>
/// <param name="Request">What to record.</param>
/// <param name="Line">Its first line.</param>
internal record MeasurementCandidate(HorseRow Horse, MeasurementRequest Request, long Line)
{
    /// <summary>The line of each width; empty where all of it stands on one line.</summary>
    public IReadOnlyList<long> WidthLines { get; init; } = [];

    /// <summary>The row to be stored, without its advice; once it is known to be possible.</summary>
    public MeasurementRow Row { get; private set; } = null!;

    /// <summary>What was measured, as the engine takes it.</summary>
    public IReadOnlyList<Reading> Readings { get; private set; } = [];

    /// <summary>Finds out whether it can be as it stands, and makes it ready to be judged and stored.</summary>
    /// <param name="row">Makes the row from what is to be stored of what was measured.</param>
    /// <exception cref="ProblemException">It cannot.</exception>
    public void Check(Func<MeasurementCandidate, string, MeasurementRow> row)
    {
        Requests.Validate(Request);
        Row = row(this, Request.ToCanonicalJson());
        Readings = MeasurementFacts.Readings(Request);
    }

    /// <summary>What it brings with it where it is a record of an export; null where it is a line of a book.</summary>
    public GivenRecord? Given { get; init; }

    /// <summary>Names a fault of the request at the line and place it comes from.</summary>
    public void Place(ImportFaults faults, string pointer, string text)
    {
        // A pointer into the widths is the line that gave the width.
        if (WidthLines.Count > 0 && pointer.Split('/') is [_, "widths", var index, ..] parts)
            faults.Add(WidthLines[int.Parse(index, System.Globalization.CultureInfo.InvariantCulture)], parts.Length > 3 ? parts[3] : "", text);
        else
            faults.Add(Line, pointer[1..], text);
    }
}

/// <summary>Makes measurements of the sorted rows of a book: those of one horse and instant are one.</summary>
internal static class BookMeasurements
{
    public static IEnumerable<MeasurementCandidate> Of(RowSort rows, IReadOnlyList<HorseRow> horses, ImportFaults faults)
    {
        using var memory = new MemoryStream();
        using var reader = new BinaryReader(memory);
        var group = new List<BookRow>();
        var at = default(RowKey);
        foreach (var (key, bytes) in rows.Sorted())
        {
            if (group.Count > 0 && (key.Horse, key.Ticks) != (at.Horse, at.Ticks))
            {
                yield return Combine(horses[at.Horse], group, faults);
                group.Clear();
            }
            at = key;
            memory.SetLength(0);
            memory.Write(bytes.Span);
            memory.Position = 0;
            group.Add(BookRow.Read(reader));
        }
        if (group.Count > 0)
            yield return Combine(horses[at.Horse], group, faults);
    }

    private static MeasurementCandidate Combine(HorseRow horse, List<BookRow> rows, ImportFaults faults)
    {
        var widths = rows.FindAll(r => r.Width is not null);
        var request = new MeasurementRequest
        {
            MeasuredAt = rows[0].MeasuredAt,
            MeasuredBy = One(rows, "measuredBy", r => r.Person, faults),
            Method = One<MeasuringMethod?>(rows, "method", r => r.Method, faults),
            Exercise = One(rows, "exercise", r => r.Exercise, faults),
            Widths = widths.ConvertAll(r => r.Width!),
            WeightKg = One(rows, "weightKg", r => r.WeightKg, faults),
            GirthMm = One(rows, "girthMm", r => r.GirthMm, faults),
            ConditionScore1to9 = One(rows, "conditionScore1to9", r => r.ConditionScore1to9, faults),
            Note = One(rows, "note", r => r.Note, faults),
        };
        return new MeasurementCandidate(horse, request, rows[0].Line) { WidthLines = widths.ConvertAll(r => r.Line) };
    }

    /// <summary>The one value that rows of a measurement give; they may leave it out but not contradict each other.</summary>
    private static T? One<T>(List<BookRow> rows, string column, Func<BookRow, T?> value, ImportFaults faults)
    {
        BookRow? said = null;
        foreach (var row in rows)
        {
            if (value(row) is not { } here)
                continue;
            if (said is null)
                said = row;
            else if (!EqualityComparer<T>.Default.Equals(here, value(said)))
                faults.Add(row.Line, column, $"this differs from line {said.Line}, which is of the same horse and instant and so of the same measurement.");
        }
        return said is null ? default : value(said);
    }
}
