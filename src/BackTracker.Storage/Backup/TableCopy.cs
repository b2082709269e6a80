using System.Data.Common;
using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Backup;

/// <summary>Copies all rows from one store to another, table by table, each in one read and one stream of writes.</summary>
internal static class TableCopy
{
    /// <summary>Replaces all rows of one store by those of another.</summary>
    /// <param name="from">Transaction that reads.</param>
    /// <param name="to">Transaction that writes.</param>
    /// <param name="cancel">Stops; the transactions are then rolled back by whoever began them.</param>
    public static async Task ReplaceAllAsync(DbTransaction from, DbTransaction to, CancellationToken cancel)
    {
        foreach (var table in StoreTables.InOrder.Reverse())
        {
            await using var command = Command(to, $"delete from {table}");
            await command.ExecuteNonQueryAsync(cancel);
        }
        foreach (var table in StoreTables.InOrder)
            await CopyAsync(table, from, to, cancel);
    }

    public static DbCommand Command(DbTransaction transaction, string sql)
    {
        var command = transaction.Connection!.CreateCommand();
        command.Transaction = transaction;
        command.CommandText = sql;
        return command;
    }

    private static async Task CopyAsync(string table, DbTransaction from, DbTransaction to, CancellationToken cancel)
    {
        await using var select = Command(from, $"select * from {table}");
        await using var reader = await select.ExecuteReaderAsync(cancel);
        var columns = Enumerable.Range(0, reader.FieldCount).Select(reader.GetName).ToList();
        await using var writer = await RowWriter.BeginAsync(to, table, columns, cancel);
        var values = new object[columns.Count];
        while (await reader.ReadAsync(cancel))
        {
            reader.GetValues(values);
            await writer.WriteAsync(values, cancel);
        }
        await writer.CompleteAsync(cancel);
    }
}
