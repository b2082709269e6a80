using System.Data.Common;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using BackTracker.Storage.Dialects;

namespace BackTracker.Storage.Backup;

/// <summary>Holds every row of one store against those of another of the same schema, in whatever order and kind of database they lie.</summary>
internal static class StoreComparison
{
    /// <summary>Tables whose rows are not the same, each with what there is of it.</summary>
    public static async Task<IReadOnlyList<string>> DifferencesAsync(Dialect one, Dialect other, CancellationToken cancel)
    {
        await using var oneOpen = await one.OpenAsync(cancel);
        await using var otherOpen = await other.OpenAsync(cancel);
        await using var oneReading = await one.BeginSnapshotAsync(oneOpen, cancel);
        await using var otherReading = await other.BeginSnapshotAsync(otherOpen, cancel);
        var differences = new List<string>();
        foreach (var table in StoreTables.InOrder)
        {
            var (here, there) = (await SumAsync(oneReading, table, cancel), await SumAsync(otherReading, table, cancel));
            if (here != there)
                differences.Add(string.Create(CultureInfo.InvariantCulture, $"{table} ({here.Rows} rows and {there.Rows})"));
        }
        return differences;
    }

    private static async Task<RowSum> SumAsync(DbTransaction transaction, string table, CancellationToken cancel)
    {
        await using var command = TableCopy.Command(transaction, $"select * from {table}");
        await using var reader = await command.ExecuteReaderAsync(cancel);
        var columns = Enumerable.Range(0, reader.FieldCount).OrderBy(reader.GetName, StringComparer.Ordinal).ToList();
        var (rows, sum) = (0L, UInt128.Zero);
        while (await reader.ReadAsync(cancel))
        {
            rows++;
            sum = unchecked(sum + Digest(string.Join('\u001f', columns.Select(column => $"{reader.GetName(column)}={Text(reader.GetValue(column))}"))));
        }
        return new RowSum(rows, sum);
    }

    private static UInt128 Digest(string row) => BitConverter.ToUInt128(SHA256.HashData(Encoding.UTF8.GetBytes(row)));

    private static string Text(object value) => value switch
    {
        DBNull => "null",
        double number => "d" + BitConverter.DoubleToInt64Bits(number).ToString(CultureInfo.InvariantCulture),
        byte[] bytes => "b" + Convert.ToHexString(bytes),
        string text => "s" + text,
        _ => "n" + Convert.ToString(value, CultureInfo.InvariantCulture),
    };

    /// <summary>How many rows there are and the sum of their SHA-256, which does not depend on their order.</summary>
    private readonly record struct RowSum(long Rows, UInt128 Sum);
}
