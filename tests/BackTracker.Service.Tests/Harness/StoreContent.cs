using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Harness;

/// <summary>Everything a store holds, row by row as text, to be searched or compared with what it holds later.</summary>
internal static class StoreContent
{
    public static async Task<IReadOnlyDictionary<string, IReadOnlyList<string>>> ReadAsync(RunningService service)
    {
        await using var connection = await service.Services.GetRequiredService<Dialect>().OpenAsync(TestContext.Current.CancellationToken);
        var content = new Dictionary<string, IReadOnlyList<string>>();
        foreach (var table in StoreTables.InOrder)
        {
            await using var command = connection.CreateCommand();
            command.CommandText = $"select * from {table}";
            await using var reader = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
            var rows = new List<string>();
            while (await reader.ReadAsync(TestContext.Current.CancellationToken))
                rows.Add(string.Join('|', Enumerable.Range(0, reader.FieldCount).Select(i => reader.IsDBNull(i) ? "<null>" : Convert.ToString(reader.GetValue(i), System.Globalization.CultureInfo.InvariantCulture))));
            rows.Sort(StringComparer.Ordinal);
            content.Add(table, rows);
        }
        return content;
    }

    /// <summary>All of it as one text, to be searched.</summary>
    public static async Task<string> TextAsync(RunningService service) => string.Join('\n', (await ReadAsync(service)).Values.SelectMany(rows => rows));

    /// <summary>Insists that two contents are the same, and says which rows came or went where they are not.</summary>
    public static void ShouldEqual(this IReadOnlyDictionary<string, IReadOnlyList<string>> after, IReadOnlyDictionary<string, IReadOnlyList<string>> before)
    {
        foreach (var (table, rows) in before)
        {
            var came = after[table].Except(rows).Take(3).ToList();
            var gone = rows.Except(after[table]).Take(3).ToList();
            Assert.True(came.Count + gone.Count == 0 && rows.Count == after[table].Count, $"{table}: gone {string.Join("\n", gone)}\ncame {string.Join("\n", came)}");
        }
    }
}
