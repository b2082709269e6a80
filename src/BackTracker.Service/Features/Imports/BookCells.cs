using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Json;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Imports;

/// <summary>
/// Reads cells by the rules of the API's JSON. What is plainly right is read without JSON, which a hundred thousand lines feel; whatever is not
/// goes the way of the API, so that what is wrong is said in the same words.
/// </summary>
/// <param name="faults">Takes what is wrong.</param>
internal sealed class BookCells(ImportFaults faults)
{
    private static readonly SearchValues<byte> DigitsAndPoint = SearchValues.Create("0123456789."u8);
    private readonly Dictionary<string, Remembered> _last = [];

    public double? Number(long line, string column, ReadOnlySpan<byte> cell)
    {
        if (cell.IsEmpty)
            return null;
        return IsPlain(cell) && double.TryParse(cell, NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number)
            ? number
            : Parse<double>(line, column, Text(cell), Text(cell), "Write a number, with a point before decimals and no unit.");
    }

    public int? Count(long line, string column, ReadOnlySpan<byte> cell)
    {
        if (cell.IsEmpty)
            return null;
        return IsPlain(cell) && int.TryParse(cell, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number)
            ? number
            : Parse<int>(line, column, Text(cell), Text(cell), "Write a whole number without a unit.");
    }

    /// <summary>An instant or a word: the cell above is mostly the same.</summary>
    public T? Word<T>(long line, string column, ReadOnlySpan<byte> cell) where T : struct
    {
        if (cell.IsEmpty)
            return null;
        if (_last.TryGetValue(column, out var last) && cell.SequenceEqual(last.Bytes))
            return (T)last.Value;
        var value = Parse<T>(line, column, Text(cell), Quoted(cell), "This cannot be read.");
        if (value is { } read)
            _last[column] = new Remembered(cell.ToArray(), read);
        return value;
    }

    /// <summary>A text that is to be kept.</summary>
    public string? Kept(long line, string column, ReadOnlySpan<byte> cell)
    {
        if (cell.IsEmpty)
            return null;
        if (cell.ContainsAnyExceptInRange((byte)' ', (byte)'~'))
            return ParseText(line, column, cell);
        return Encoding.ASCII.GetString(cell);
    }

    /// <summary>A text by which something is found; the one above is mostly the same.</summary>
    public string Name(string column, ReadOnlySpan<byte> cell)
    {
        if (cell.IsEmpty)
            return "";
        if (_last.TryGetValue(column, out var last) && cell.SequenceEqual(last.Bytes))
            return (string)last.Value;
        var text = Text(cell);
        _last[column] = new Remembered(cell.ToArray(), text);
        return text;
    }

    // As JSON writes numbers: no blank, no plus, no zero in front, a digit on both sides of the point.
    private static bool IsPlain(ReadOnlySpan<byte> cell)
    {
        var digits = cell[0] == '-' ? cell[1..] : cell;
        if (digits.IsEmpty || !char.IsAsciiDigit((char)digits[0]) || !char.IsAsciiDigit((char)digits[^1]))
            return false;
        return (digits.Length == 1 || digits[0] != '0' || digits[1] == '.') && !digits.ContainsAnyExcept(DigitsAndPoint);
    }

    private string? ParseText(long line, string column, ReadOnlySpan<byte> cell)
    {
        try
        {
            return JsonSerializer.Deserialize<string>(Quoted(cell), Json.Options);
        }
        catch (JsonException error)
        {
            Fault(line, column, error, "Write text.", Text(cell));
            return null;
        }
    }

    private T? Parse<T>(long line, string column, string cell, string json, string hint) where T : struct
    {
        try
        {
            return JsonSerializer.Deserialize<T>(json, Json.Options);
        }
        catch (JsonException error)
        {
            Fault(line, column, error, hint, cell);
            return null;
        }
    }

    private void Fault(long line, string column, JsonException error, string hint, string cell) =>
        faults.Add(line, column, $"{(error.InnerException as FormatException)?.Message ?? hint} It says {ImportFaults.Quote(cell)}.");

    private static string Text(ReadOnlySpan<byte> cell) => Encoding.UTF8.GetString(cell);

    private static string Quoted(ReadOnlySpan<byte> cell) => JsonSerializer.Serialize(Text(cell));

    private sealed record Remembered(byte[] Bytes, object Value);
}
