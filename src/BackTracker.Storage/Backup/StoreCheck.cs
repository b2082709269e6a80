using System.Data.Common;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Migrations;

namespace BackTracker.Storage.Backup;

/// <summary>What a check of a store found.</summary>
/// <param name="Faults">Each fault in a line; none where it is sound.</param>
/// <param name="Rows">Rows of each table that could be read.</param>
public sealed record StoreReport(IReadOnlyList<string> Faults, IReadOnlyDictionary<string, long> Rows);

/// <summary>Reads a whole store, or a backup, and names everything in it that cannot be. Changes nothing.</summary>
public sealed class StoreCheck
{
    private readonly Dialect _store;
    private readonly CancellationToken _cancel;
    private readonly List<string> _faults = [];
    private readonly Dictionary<string, long> _rows = [];
    private readonly HashSet<string> _ids = [];
    private readonly List<(string Where, string Id)> _mentions = [];

    private StoreCheck(Dialect store, CancellationToken cancel)
    {
        _store = store;
        _cancel = cancel;
    }

    /// <summary>Checks.</summary>
    public static async Task<StoreReport> RunAsync(Dialect store, CancellationToken cancel)
    {
        var check = new StoreCheck(store, cancel);
        await check.TryAsync("the file", check.CheckFileAsync);
        await check.TryAsync("the schema", () => Migrator.CheckAppliedAsync(store, cancel));
        await check.TryAsync("the store", check.CheckRowsAsync);
        check._faults.AddRange(check._mentions.Where(m => !check._ids.Contains(m.Id)).Select(m => $"{m.Where} names {m.Id}, which is not there"));
        return new StoreReport(check._faults, check._rows);
    }

    private async Task TryAsync(string what, Func<Task> check)
    {
        try
        {
            await check();
        }
        catch (Exception error) when (error is DbException or StorageException)
        {
            _faults.Add($"{what}: {error.Message.ReplaceLineEndings(" ")}");
        }
    }

    private async Task CheckFileAsync() => _faults.AddRange(await _store.IntegrityFaultsAsync(_cancel));

    /// <summary>All tables as they are at one moment: in a store that is in use, a row read later may name one written after the other table was read.</summary>
    private async Task CheckRowsAsync()
    {
        await using var connection = await _store.OpenAsync(_cancel);
        await using var snapshot = await _store.BeginSnapshotAsync(connection, _cancel);
        foreach (var table in StoreTables.InOrder)
            await TryAsync(table, () => CheckTableAsync(snapshot, table));
        await TryAsync("relations", () => CheckRelationsAsync(snapshot));
    }

    private async Task CheckTableAsync(DbTransaction snapshot, string table)
    {
        await using var command = TableCopy.Command(snapshot, $"select * from {table}");
        await using var reader = await command.ExecuteReaderAsync(_cancel);
        var columns = Enumerable.Range(0, reader.FieldCount).Select(i => StoreColumn.Of(table, reader.GetName(i), reader.GetDataTypeName(i))).ToList();
        var count = 0L;
        for (; await reader.ReadAsync(_cancel); count++)
            for (var i = 0; i < columns.Count; i++)
                if (!await reader.IsDBNullAsync(i, _cancel))
                    CheckValue(columns[i], $"{table} {reader.GetValue(0)}", reader.GetValue(i));
        _rows[table] = count;
    }

    private void CheckValue(StoreColumn column, string row, object value)
    {
        if (column.Fault(value) is { } fault)
            _faults.Add($"{row}: {column.Name} {fault}");
        else if (column.IsRowId)
            _ids.Add((string)value);
        else if (column.NamesRows)
            _mentions.AddRange(JsonIds.In((string)value).Select(id => ($"{row}: {column.Name}", id)));
    }

    /// <summary>What the keys of the schema cannot say: that two references of one row mean the same horse.</summary>
    private async Task CheckRelationsAsync(DbTransaction snapshot)
    {
        foreach (var (column, target) in new[] { ("checks.assessment_id", "assessments"), ("checks.pairing_id", "pairings"), ("measurements.corrects", "measurements"), ("measurements.replaced_by", "measurements") })
        {
            var table = column[..column.IndexOf('.')];
            await using var command = TableCopy.Command(snapshot, $"select {table}.id from {table} join {target} t on t.id = {column} where t.horse_id <> {table}.horse_id");
            await using var reader = await command.ExecuteReaderAsync(_cancel);
            while (await reader.ReadAsync(_cancel))
                _faults.Add($"{table} {reader.GetString(0)}: {column[(table.Length + 1)..]} belongs to another horse");
        }
    }
}
