using System.Collections;
using System.Data.Common;
using Microsoft.Data.Sqlite;
using SQLitePCL;

namespace BackTracker.Storage.Dialects;

/// <summary>What the columns of a statement are called and hold, asked once: whoever maps rows asks for it at every read.</summary>
/// <param name="Names">Names.</param>
/// <param name="Types">What a column of a table holds; null for what is worked out, which may be another with every row.</param>
internal sealed record KeptColumns(string[] Names, Type?[] Types)
{
    public static KeptColumns Of(SqliteDataReader reader)
    {
        var all = Enumerable.Range(0, reader.FieldCount).ToList();
        return new KeptColumns([.. all.Select(reader.GetName)], [.. all.Select(column => TypeOf(raw.sqlite3_column_decltype(reader.Handle, column).utf8_to_string()))]);
    }

    private static Type? TypeOf(string? declared) => declared?.ToLowerInvariant() switch
    {
        "text" => typeof(string),
        "bigint" => typeof(long),
        "double precision" => typeof(double),
        _ => null,
    };
}

/// <summary>The rows of a kept statement.</summary>
/// <param name="rows">The rows.</param>
/// <param name="columns">Their columns.</param>
internal sealed class KeptReader(SqliteDataReader rows, KeptColumns columns) : DbDataReader
{
    public override int Depth => rows.Depth;

    public override int FieldCount => rows.FieldCount;

    public override bool HasRows => rows.HasRows;

    public override bool IsClosed => rows.IsClosed;

    public override int RecordsAffected => rows.RecordsAffected;

    public override object this[int ordinal] => rows[ordinal];

    public override object this[string name] => rows[name];

    public override string GetName(int ordinal) => columns.Names[ordinal];

    public override Type GetFieldType(int ordinal) => columns.Types[ordinal] ?? rows.GetFieldType(ordinal);

    public override bool GetBoolean(int ordinal) => rows.GetBoolean(ordinal);

    public override byte GetByte(int ordinal) => rows.GetByte(ordinal);

    public override long GetBytes(int ordinal, long dataOffset, byte[]? buffer, int bufferOffset, int length) => rows.GetBytes(ordinal, dataOffset, buffer, bufferOffset, length);

    public override char GetChar(int ordinal) => rows.GetChar(ordinal);

    public override long GetChars(int ordinal, long dataOffset, char[]? buffer, int bufferOffset, int length) => rows.GetChars(ordinal, dataOffset, buffer, bufferOffset, length);

    public override string GetDataTypeName(int ordinal) => rows.GetDataTypeName(ordinal);

    public override DateTime GetDateTime(int ordinal) => rows.GetDateTime(ordinal);

    public override decimal GetDecimal(int ordinal) => rows.GetDecimal(ordinal);

    public override double GetDouble(int ordinal) => rows.GetDouble(ordinal);

    public override IEnumerator GetEnumerator() => rows.GetEnumerator();

    public override float GetFloat(int ordinal) => rows.GetFloat(ordinal);

    public override Guid GetGuid(int ordinal) => rows.GetGuid(ordinal);

    public override short GetInt16(int ordinal) => rows.GetInt16(ordinal);

    public override int GetInt32(int ordinal) => rows.GetInt32(ordinal);

    public override long GetInt64(int ordinal) => rows.GetInt64(ordinal);

    public override int GetOrdinal(string name) => rows.GetOrdinal(name);

    public override string GetString(int ordinal) => rows.GetString(ordinal);

    public override object GetValue(int ordinal) => rows.GetValue(ordinal);

    public override int GetValues(object[] values) => rows.GetValues(values);

    public override bool IsDBNull(int ordinal) => rows.IsDBNull(ordinal);

    public override bool NextResult() => rows.NextResult() ? throw new NotSupportedException("A kept statement is one statement.") : false;

    public override bool Read() => rows.Read();

    public override void Close() => rows.Close();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
            rows.Dispose();
        base.Dispose(disposing);
    }
}
