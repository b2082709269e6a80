using System.Data.Common;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;

namespace BackTracker.Storage.Tests.Harness;

/// <summary>Rows of today in the tables and columns that an earlier schema had.</summary>
internal static class EarlierRows
{
    /// <summary>The tables with what is kept, each with its columns in order of their names.</summary>
    public static async Task<IReadOnlyList<(string Table, IReadOnlyList<string> Columns)>> ColumnsAsync(Dialect dialect)
    {
        await using var connection = await dialect.OpenAsync(TestContext.Current.CancellationToken);
        var tables = new List<(string, IReadOnlyList<string>)>();
        foreach (var table in StoreTables.InOrder)
        {
            if (!await dialect.TableExistsAsync(connection, table, TestContext.Current.CancellationToken))
                continue;
            await using var command = Command(connection, $"select * from {table} limit 0");
            await using var reader = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
            tables.Add((table, [.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetName).Order(StringComparer.Ordinal)]));
        }
        return tables;
    }

    /// <summary>Copies what a store holds as far as another one has the tables and columns for it.</summary>
    public static async Task CopyAsync(OpenStore from, OpenStore to)
    {
        await using var reading = await from.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var writing = await to.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        // A correction and what it corrects name each other: neither can be written first.
        await using (var unbound = Command(writing, to.Dialect is SqliteDialect ? "pragma foreign_keys = off" : "set session_replication_role = replica"))
            await unbound.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
        foreach (var (table, columns) in await ColumnsAsync(to.Dialect))
            await CopyAsync(reading, writing, table, columns);
        await using var bound = Command(writing, to.Dialect is SqliteDialect ? "pragma foreign_keys = on" : "set session_replication_role = default");
        await bound.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>Every row, by some columns alone.</summary>
    public static async Task<IReadOnlyList<string>> DumpAsync(OpenStore store, IReadOnlyList<(string Table, IReadOnlyList<string> Columns)> columns)
    {
        var dump = new List<string>();
        foreach (var (table, some) in columns)
            dump.AddRange((await store.ListAsync($"select {string.Join(", ", some)} from {table}")).Select(row => $"{table}: {row}").Order(StringComparer.Ordinal));
        return dump;
    }

    /// <summary>Everything the database says of its tables, columns, rules and indexes.</summary>
    public static async Task<IReadOnlyList<string>> SchemaAsync(OpenStore store) => store.Dialect is SqliteDialect
        ? await store.ListAsync("select type, name, tbl_name, sql from sqlite_master where name not like 'sqlite_stat%' order by type, name")
        :
        [
            .. await store.ListAsync("select table_name, column_name, data_type, is_nullable, column_default from information_schema.columns where table_schema = 'public' order by table_name, column_name"),
            .. await store.ListAsync("select indexdef from pg_indexes where schemaname = 'public' order by indexname"),
            .. await store.ListAsync("select conrelid::regclass::text, conname, pg_get_constraintdef(oid) from pg_constraint where connamespace = 'public'::regnamespace order by conname"),
        ];

    private static async Task CopyAsync(DbConnection from, DbConnection to, string table, IReadOnlyList<string> columns)
    {
        await using var select = Command(from, $"select {string.Join(", ", columns)} from {table}");
        await using var reader = await select.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        while (await reader.ReadAsync(TestContext.Current.CancellationToken))
        {
            await using var insert = Command(to, $"insert into {table} ({string.Join(", ", columns)}) values ({string.Join(", ", columns.Select(column => "@" + column))})");
            for (var i = 0; i < columns.Count; i++)
            {
                var value = insert.CreateParameter();
                (value.ParameterName, value.Value) = (columns[i], reader.GetValue(i));
                insert.Parameters.Add(value);
            }
            await insert.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
        }
    }

    private static DbCommand Command(DbConnection connection, string sql)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        return command;
    }
}
