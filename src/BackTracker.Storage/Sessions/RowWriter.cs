using System.Data.Common;
using System.Text;
using Microsoft.Data.Sqlite;
using Npgsql;
using NpgsqlTypes;
using SQLitePCL;

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

    public abstract ValueTask WriteAsync(IReadOnlyList<object> values, CancellationToken cancel);

    public abstract Task CompleteAsync(CancellationToken cancel);

    public abstract ValueTask DisposeAsync();

    /// <summary>One COPY is one statement, and references are checked at its end.</summary>
    private sealed class PostgresRows(NpgsqlBinaryImporter importer) : RowWriter
    {
        public override async ValueTask WriteAsync(IReadOnlyList<object> values, CancellationToken cancel)
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

    /// <summary>
    /// Binds by place, straight to the library: the provider looks every parameter up by its name and makes a reader for every row, which takes
    /// longer than the insert.
    /// </summary>
    private sealed class SqliteRows(sqlite3 database, sqlite3_stmt insert, int columns) : RowWriter
    {
        private readonly object?[] _bound = new object?[columns];
        private byte[] _utf8 = new byte[1024];

        public static async Task<SqliteRows> BeginAsync(SqliteTransaction transaction, string table, IReadOnlyList<string> columns, CancellationToken cancel)
        {
            await using var defer = transaction.Connection!.CreateCommand();
            defer.Transaction = transaction;
            defer.CommandText = "pragma defer_foreign_keys = on";
            await defer.ExecuteNonQueryAsync(cancel);
            var database = transaction.Connection.Handle!;
            var places = string.Join(", ", columns.Select(_ => "?"));
            Check(raw.sqlite3_prepare_v2(database, $"insert into {table} ({string.Join(", ", columns)}) values ({places})", out var insert), database);
            return new SqliteRows(database, insert, columns.Count);
        }

        public override ValueTask WriteAsync(IReadOnlyList<object> values, CancellationToken cancel)
        {
            cancel.ThrowIfCancellationRequested();
            for (var i = 0; i < values.Count; i++)
                BindIfOther(i, values[i]);
            var done = raw.sqlite3_step(insert);
            // What went wrong is told by both; taking the statement back makes it ready for the next row.
            Check(raw.sqlite3_reset(insert), database);
            Check(done, database);
            return ValueTask.CompletedTask;
        }

        public override Task CompleteAsync(CancellationToken cancel) => Task.CompletedTask;

        public override ValueTask DisposeAsync()
        {
            insert.Dispose();
            return ValueTask.CompletedTask;
        }

        // What is bound stays from row to row, and most of a row is as in the row before: to compare is faster than to bind.
        private void BindIfOther(int column, object value)
        {
            if (value.Equals(_bound[column]))
                return;
            Check(Bind(column + 1, value), database);
            _bound[column] = value;
        }

        private int Bind(int place, object value) => value switch
        {
            DBNull => raw.sqlite3_bind_null(insert, place),
            string text => raw.sqlite3_bind_text(insert, place, Utf8(text)),
            long number => raw.sqlite3_bind_int64(insert, place, number),
            double number => raw.sqlite3_bind_double(insert, place, number),
            byte[] bytes => raw.sqlite3_bind_blob(insert, place, bytes),
            _ => throw new StorageException($"A row holds a value of type {value.GetType().Name}, which no column of a store has."),
        };

        private ReadOnlySpan<byte> Utf8(string text)
        {
            if (_utf8.Length < Encoding.UTF8.GetMaxByteCount(text.Length))
                _utf8 = new byte[Encoding.UTF8.GetMaxByteCount(text.Length)];
            return _utf8.AsSpan(0, Encoding.UTF8.GetBytes(text, _utf8));
        }

        private static void Check(int result, sqlite3 database)
        {
            if (result is not (raw.SQLITE_OK or raw.SQLITE_DONE or raw.SQLITE_ROW))
                SqliteException.ThrowExceptionForRC(result, database);
        }
    }
}
