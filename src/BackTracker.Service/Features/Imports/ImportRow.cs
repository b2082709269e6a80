using System.Text.Json;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Imports;

/// <summary>One line of a file. Cells are read by the rules of the API's JSON; an empty cell says nothing.</summary>
internal sealed record ImportRow
{
    public required long Line { get; init; }

    public required string Horse { get; init; }

    public required string Person { get; init; }

    public required DateTimeOffset? MeasuredAt { get; init; }

    public required MeasuringMethod? Method { get; init; }

    public required ExerciseState? Exercise { get; init; }

    public required WidthValues? Width { get; init; }

    public required double? WeightKg { get; init; }

    public required double? GirthMm { get; init; }

    public required double? ConditionScore1to9 { get; init; }

    public required string? Note { get; init; }

    /// <summary>Reads a line; what cannot be read is named and taken as not said.</summary>
    /// <param name="line">Number of the line.</param>
    /// <param name="cell">The text of a column, empty where there is none.</param>
    /// <param name="faults">Takes what is wrong.</param>
    public static ImportRow Read(long line, Func<string, string> cell, ImportFaults faults)
    {
        var cells = new Cells(line, cell, faults);
        return new ImportRow
        {
            Line = line,
            Horse = cells.Required("horse"),
            Person = cells.Required("measuredBy"),
            MeasuredAt = cells.Required("measuredAt").Length == 0 ? null : cells.Word<DateTimeOffset>("measuredAt"),
            Method = cells.Required("method").Length == 0 ? null : cells.Word<MeasuringMethod>("method"),
            Exercise = cells.Word<ExerciseState>("exercise"),
            Width = cells.Any("station", "depthMm", "widthMm", "leftHalfMm", "rightHalfMm", "repeat") ? ReadWidth(cells) : null,
            WeightKg = cells.Number<double>("weightKg"),
            GirthMm = cells.Number<double>("girthMm"),
            ConditionScore1to9 = cells.Number<double>("conditionScore1to9"),
            Note = cells.Text("note"),
        };
    }

    private static WidthValues ReadWidth(Cells cells) => new()
    {
        Station = cells.Text("station"),
        DepthMm = cells.Number<int>("depthMm"),
        WidthMm = cells.Number<double>("widthMm"),
        LeftHalfMm = cells.Number<double>("leftHalfMm"),
        RightHalfMm = cells.Number<double>("rightHalfMm"),
        Repeat = cells.Number<int>("repeat"),
    };

    private sealed record Cells(long Line, Func<string, string> Cell, ImportFaults Faults)
    {
        public bool Any(params string[] columns) => columns.Any(c => Cell(c).Length > 0);

        public string Required(string column)
        {
            if (Cell(column).Length == 0)
                Faults.Add(Line, $"{column}: This is empty and has to be given.");
            return Cell(column);
        }

        public string? Text(string column) => Parse<string>(column, JsonSerializer.Serialize(Cell(column)), "Write text.", out var text) ? text : null;

        public T? Word<T>(string column) where T : struct =>
            Parse<T>(column, JsonSerializer.Serialize(Cell(column)), "This cannot be read.", out var value) ? value : null;

        public T? Number<T>(string column) where T : struct =>
            Parse<T>(column, Cell(column), "Write a number, with a point before decimals and no unit.", out var value) ? value : null;

        private bool Parse<T>(string column, string json, string hint, out T? value)
        {
            value = default;
            if (Cell(column).Length == 0)
                return false;
            try
            {
                value = JsonSerializer.Deserialize<T>(json, Json.Options);
                return true;
            }
            catch (JsonException error)
            {
                Faults.Add(Line, $"{column}: {(error.InnerException as FormatException)?.Message ?? hint} It says `{Cell(column)}`.");
                return false;
            }
        }
    }
}
