using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Measurements;
using CsvHelper;

namespace BackTracker.Service.Features.Imports;

/// <summary>Reads measurements from a CSV file, line by line: UTF-8, commas, a header, one line a width.</summary>
internal sealed class BookReader : IDisposable
{
    private const int LongestRecord = 1 << 20;
    private static readonly string[] Needed = ["horse", "measuredAt", "measuredBy", "method"];
    private static readonly string[] Known =
    [
        .. Needed, "exercise", "station", "depthMm", "widthMm", "leftHalfMm", "rightHalfMm", "repeat", "weightKg", "girthMm", "conditionScore1to9", "note",
    ];

    private readonly ImportFaults _faults;
    private readonly BookCells _cells;
    private readonly CsvReader _csv;
    private readonly bool _namesPerson;
    private int[] _places = [];
    private bool _over;

    /// <param name="file">The file.</param>
    /// <param name="namesPerson">Whether every line has to say who measured.</param>
    /// <param name="faults">Takes what is wrong.</param>
    public BookReader(Stream file, bool namesPerson, ImportFaults faults)
    {
        (_faults, _cells, _namesPerson) = (faults, new BookCells(faults), namesPerson);
        _csv = CsvReader.Create(file, new CsvReaderOptions
        {
            TrackLineNumbers = true,
            TrimWhitespace = true,
            MalformedData = CsvMalformedDataHandling.Throw,
            MaxRecordSize = LongestRecord,
        }, leaveOpen: true);
        _over = !Guard(() => true) || !CheckHeader();
    }

    /// <summary>Number of the line that was read last.</summary>
    public long Line => _csv.LineNumber;

    /// <summary>The lines that can be read; what is wrong with the others is named.</summary>
    public IEnumerable<BookRow> Rows()
    {
        while (TryRead(out var row))
            yield return row;
    }

    private bool TryRead(out BookRow row)
    {
        row = null!;
        while (!_over && Guard(_csv.Read))
        {
            var before = _faults.Count;
            if (_csv.FieldCount != _csv.Headers.Count)
                _faults.Add(Line, "", $"There are {_csv.FieldCount} cells, and {_csv.Headers.Count} in the header. Put quotes around a text with a comma.");
            else
                row = ReadCells(Line);
            if (_faults.Count == before)
                return true;
        }
        _over = true;
        return false;
    }

    public void Dispose() => _csv.Dispose();

    private BookRow ReadCells(long line)
    {
        for (var column = Column.Horse; column <= Column.Method; column++)
            if (Cell(column).IsEmpty && (column != Column.MeasuredBy || _namesPerson))
                _faults.Add(line, Known[(int)column], "This is empty and has to be given.");
        return new BookRow
        {
            Line = line,
            Offset = _csv.ByteOffset,
            Horse = _cells.Name("horse", Cell(Column.Horse)),
            Person = _cells.Name("measuredBy", Cell(Column.MeasuredBy)),
            MeasuredAt = _cells.Word<DateTimeOffset>(line, "measuredAt", Cell(Column.MeasuredAt)) ?? default,
            Method = _cells.Word<MeasuringMethod>(line, "method", Cell(Column.Method)) ?? default,
            Exercise = _cells.Word<ExerciseState>(line, "exercise", Cell(Column.Exercise)),
            Width = SaysWidth() ? ReadWidth(line) : null,
            WeightKg = _cells.Number(line, "weightKg", Cell(Column.WeightKg)),
            GirthMm = _cells.Number(line, "girthMm", Cell(Column.GirthMm)),
            ConditionScore1to9 = _cells.Number(line, "conditionScore1to9", Cell(Column.ConditionScore1to9)),
            Note = _cells.Kept(line, "note", Cell(Column.Note)),
        };
    }

    private bool SaysWidth()
    {
        for (var column = Column.Station; column <= Column.Repeat; column++)
            if (!Cell(column).IsEmpty)
                return true;
        return false;
    }

    private WidthValues ReadWidth(long line) => new()
    {
        Station = Cell(Column.Station).IsEmpty ? null : _cells.Name("station", Cell(Column.Station)),
        DepthMm = _cells.Count(line, "depthMm", Cell(Column.DepthMm)),
        WidthMm = _cells.Number(line, "widthMm", Cell(Column.WidthMm)),
        LeftHalfMm = _cells.Number(line, "leftHalfMm", Cell(Column.LeftHalfMm)),
        RightHalfMm = _cells.Number(line, "rightHalfMm", Cell(Column.RightHalfMm)),
        Repeat = _cells.Count(line, "repeat", Cell(Column.Repeat)),
    };

    private ReadOnlySpan<byte> Cell(Column column) =>
        _places[(int)column] is var at and >= 0 ? _csv.GetSpan(at).Trim(" \t\r\n"u8) : [];

    private bool Guard(Func<bool> read)
    {
        try
        {
            return read();
        }
        catch (CsvFormatException error)
        {
            _faults.Add(Math.Max(1, error.LineNumber), "", $"This is no CSV, and what follows could not be read: {error.Message.ReplaceLineEndings(" ")}");
            return false;
        }
    }

    private bool CheckHeader()
    {
        IReadOnlyList<string> headers = [];
        if (!Guard(() => (headers = [.. _csv.Headers]) is not null))
            return false;
        var needed = _namesPerson ? Needed : Needed.Where(n => n != "measuredBy");
        foreach (var name in needed.Where(n => !headers.Contains(n)))
            _faults.Add(1, "", $"The header has no column {name}.");
        foreach (var name in headers.Where(h => !Known.Contains(h)))
            _faults.Add(1, "", $"The header has a column {ImportFaults.Quote(name)}, which is not known. Known: {string.Join(", ", Known)}.");
        foreach (var name in headers.GroupBy(h => h).Where(g => g.Count() > 1))
            _faults.Add(1, "", $"The header has the column {name.Key} twice.");
        _places = [.. Known.Select(name => headers.ToList().IndexOf(name))];
        return !_faults.Any;
    }

    // In the order of Known.
    private enum Column
    {
        Horse,
        MeasuredAt,
        MeasuredBy,
        Method,
        Exercise,
        Station,
        DepthMm,
        WidthMm,
        LeftHalfMm,
        RightHalfMm,
        Repeat,
        WeightKg,
        GirthMm,
        ConditionScore1to9,
        Note,
    }
}
