using CsvHelper;

namespace BackTracker.Service.Features.Imports;

/// <summary>Reads measurements from a CSV file: UTF-8, commas, a header, one line a width.</summary>
internal static class MeasurementCsv
{
    private const int LongestRecord = 1 << 20;
    private static readonly string[] Needed = ["horse", "measuredAt", "measuredBy", "method"];
    private static readonly string[] Known =
    [
        .. Needed, "exercise", "station", "depthMm", "widthMm", "leftHalfMm", "rightHalfMm", "repeat", "weightKg", "girthMm", "conditionScore1to9", "note",
    ];

    /// <summary>All rows; faults are named and the rest is read on, so that all are named at once.</summary>
    public static List<ImportRow> Read(Stream file, ImportFaults faults)
    {
        var rows = new List<ImportRow>();
        try
        {
            using var reader = CsvReader.Create(file, new CsvReaderOptions
            {
                TrackLineNumbers = true,
                TrimWhitespace = true,
                MalformedData = CsvMalformedDataHandling.Throw,
                MaxRecordSize = LongestRecord,
            }, leaveOpen: true);
            if (!CheckHeader(reader, faults))
                return rows;
            while (reader.Read())
                if (reader.FieldCount == reader.Headers.Count)
                    rows.Add(ImportRow.Read(reader.LineNumber, column => reader.TryGetFieldIndex(column, out var at) ? reader.GetString(at).Trim() : "", faults));
                else
                    faults.Add(reader.LineNumber, $"There are {reader.FieldCount} cells, and {reader.Headers.Count} in the header. Put quotes around a text with a comma.");
        }
        catch (CsvFormatException error)
        {
            faults.Add(Math.Max(1, error.LineNumber), $"This is no CSV: {error.Message.ReplaceLineEndings(" ")}");
        }
        return rows;
    }

    private static bool CheckHeader(CsvReader reader, ImportFaults faults)
    {
        foreach (var name in Needed.Where(n => !reader.Headers.Contains(n)))
            faults.Add(1, $"The header has no column {name}.");
        foreach (var name in reader.Headers.Where(h => !Known.Contains(h)))
            faults.Add(1, $"The header has a column `{name}`, which is not known. Known: {string.Join(", ", Known)}.");
        foreach (var name in reader.Headers.GroupBy(h => h).Where(g => g.Count() > 1))
            faults.Add(1, $"The header has the column {name.Key} twice.");
        return !faults.Any;
    }
}
