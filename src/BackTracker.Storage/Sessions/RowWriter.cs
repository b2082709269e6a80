using System.Data.Common;
using Microsoft.Data.Sqlite;
using Npgsql;
using NpgsqlTypes;

namespace BackTracker.Storage.Sessions;

/// <summary>
/// Writes rows of one table. Rows may refer to later rows of the same table (a correction and what it corrects name each other), so
/// references are looked at only when all rows are there.
/// </summary>
internal abstract class RowWriter : IAsyncDisposable
{
    public static async Task<RowWriter> BeginAsync(DbTransaction transaction, string table, IReadOnlyList<string> columns, CancellationToken cancel) =>
        transaction.Connection is NpgsqlConnection postgres
            ? new PostgresRows(await postgres.BeginBinaryImportAsync($"copy {table} ({string.Join(", ", columns)}) from stdin (format binary)", cancel))
            : await SqliteRows.BeginAsync((SqliteTransaction)transaction, table, columns, cancel);

    public abstract Task WriteAsync(IReadOnlyList<object> values, CancellationToken cancel);

    public abstract Task CompleteAsync(CancellationToken cancel);

    public abstract ValueTask DisposeAsync();

    /// <summary>One COPY is one statement, and references are checked at its end.</summary>
    private sealed class PostgresRows(NpgsqlBinaryImporter importer) : RowWriter
    {
        public override async Task WriteAsync(IReadOnlyList<object> values, CancellationToken cancel)
        {
            await importer.StartRowAsync(cancel);
            foreach (var value in values)
                await (value switch
                {
                    DBNull => importer.WriteNullAsync(cancel),
                    long number => importer.WriteAsync(number, NpgsqlDbType.Bigint, cancel),
                    double number => importer.WriteAsync(number, NpgsqlDbType.Double, cancel),
                    string text => importer.WriteAsync(text, NpgsqlDbType.Text, cancel),
                    _ => throw new StorageException($"A row holds a value of type {value.GetType().Name}, which no column of a store has. Run `backtracker verify` on the file."),
                });
        }

        public override async Task CompleteAsync(CancellationToken cancel) => await importer.CompleteAsync(cancel);

        public override ValueTask DisposeAsync() => importer.DisposeAsync();
    }

    private sealed class SqliteRows(SqliteCommand insert) : RowWriter
    {
        public static async Task<SqliteRows> BeginAsync(SqliteTransaction transaction, string table, IReadOnlyList<string> columns, CancellationToken cancel)
        {
            var insert = transaction.Connection!.CreateCommand();
            insert.Transaction = transaction;
            insert.CommandText = "pragma defer_foreign_keys = on";
            await insert.ExecuteNonQueryAsync(cancel);
            insert.CommandText = $"insert into {table} ({string.Join(", ", columns)}) values ({string.Join(", ", columns.Select((_, i) => $"@v{i}"))})";
            for (var i = 0; i < columns.Count; i++)
                insert.Parameters.Add(new SqliteParameter { ParameterName = $"@v{i}" });
            return new SqliteRows(insert);
        }

        public override Task WriteAsync(IReadOnlyList<object> values, CancellationToken cancel)
        {
            for (var i = 0; i < values.Count; i++)
                insert.Parameters[i].Value = values[i];
            return insert.ExecuteNonQueryAsync(cancel);
        }

        public override Task CompleteAsync(CancellationToken cancel) => Task.CompletedTask;

        public override ValueTask DisposeAsync() => insert.DisposeAsync();
    }
}
