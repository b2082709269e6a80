using System.Globalization;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Dialects;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Years;

/// <summary>Rows of a store, as a person with a database client would ask for them.</summary>
internal static class YearRecords
{
    public static async Task<IReadOnlyList<string[]>> ReadAsync(RunningService service, string sql)
    {
        await using var connection = await service.Services.GetRequiredService<Dialect>().OpenAsync(TestContext.Current.CancellationToken);
        await using var command = connection.CreateCommand();
        command.CommandText = sql;
        await using var reader = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        var rows = new List<string[]>();
        while (await reader.ReadAsync(TestContext.Current.CancellationToken))
            rows.Add([.. Enumerable.Range(0, reader.FieldCount).Select(i => Convert.ToString(reader.GetValue(i), CultureInfo.InvariantCulture) ?? "")]);
        return rows;
    }
}
