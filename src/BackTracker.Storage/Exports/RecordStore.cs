using System.Runtime.CompilerServices;
using BackTracker.Storage.Sessions;
using Dapper;

namespace BackTracker.Storage.Exports;

/// <summary>Reads and writes the records of an export, whatever their kind.</summary>
public static class RecordStore
{
    // Traces and what was computed are large: of those alone this many are in memory at a time.
    private const int RowsAtOnce = 50;

    /// <summary>The records of one kind that belong to a yard, in order of their key.</summary>
    public static async IAsyncEnumerable<object?[]> OfYardAsync(ReadSession session, RecordKind kind, string yardId, [EnumeratorCancellation] CancellationToken cancel)
    {
        var key = kind.Members[0].Column;
        for (var (after, rows) = ("", (List<object?[]>)[]); ; after = (string)rows[^1][0]!)
        {
            rows = await ReadAsync(
                session, $"select {kind.Columns} from {kind.Table} t where {kind.OfYard} and t.{key} > @after order by t.{key} limit {RowsAtOnce}",
                new { yardId, after }, cancel);
            foreach (var row in rows)
                yield return row;
            if (rows.Count < RowsAtOnce)
                yield break;
        }
    }

    /// <summary>The record that is held under a key; null where there is none.</summary>
    public static async Task<object?[]?> HeldAsync(ReadSession session, RecordKind kind, object?[] row, CancellationToken cancel)
    {
        var isPair = kind.Name == "person-yard";
        var found = await ReadAsync(
            session, $"select {string.Join(", ", kind.Members.Select(m => "t." + m.Column))} from {kind.Table} t where t.{kind.Members[0].Column} = @key {(isPair ? "and t.yard_id = @second" : "")}",
            new { key = row[0], second = row[1] as string ?? "" }, cancel);
        return found.Count == 0 ? null : found[0];
    }

    /// <summary>Whether a caller may see the record of an id.</summary>
    public static async Task<bool> IsSeenAsync(ReadSession session, Sight sight, RecordKind kind, string id)
    {
        var seen = kind.Table == "people" && sight.EveryYard == 0
            ? $"exists (select 1 from person_yards y where y.person_id = t.id and {session.Sees("y.yard_id", sight)})"
            : session.Sees(kind.SeenBy, sight);
        return await session.FirstAsync<string>(
            $"select t.{kind.Members[0].Column} from {kind.Table} t where t.{kind.Members[0].Column} = @id and {seen}", new { id, sight.Yards }) is not null;
    }

    /// <summary>Writes records of one kind.</summary>
    public static async Task AddManyAsync(WriteSession session, RecordKind kind, IEnumerable<object?[]> rows)
    {
        // A yard of which only id and clock are known: its export fills it in.
        var isOther = kind.Name == RecordKinds.OtherYard;
        string[] more = isOther ? ["name", "closed_days", "version", "created_at"] : kind.Table == "alerts" ? ["waits"] : [];
        object?[] values = isOther ? ["(another yard)", "[]", 0L, session.NowText] : kind.Table == "alerts" ? ["nobody"] : [];
        await session.WriteRowsAsync(kind.Table, [.. kind.Members.Select(m => m.Column), .. more], rows.Select(row => (object?[])[.. row, .. values]));
    }

    /// <summary>Fills in a yard of which only id and clock were known; false where more of it was.</summary>
    public static async Task<bool> FillYardAsync(WriteSession session, object?[] row)
    {
        var kind = RecordKinds.ByName["yard"];
        var values = new DynamicParameters();
        for (var i = 0; i < row.Length; i++)
            values.Add("v" + i, row[i]);
        var set = string.Join(", ", kind.Members.Skip(1).Select((m, i) => $"{m.Column} = @v{i + 1}"));
        return await session.ExecuteAsync($"update yards set {set} where id = @v0 and version = 0", values) == 1;
    }

    private static async Task<List<object?[]>> ReadAsync(ReadSession session, string sql, object values, CancellationToken cancel)
    {
        var rows = new List<object?[]>();
        await using var reader = await session.Connection.ExecuteReaderAsync(session.Command(sql, values));
        while (await reader.ReadAsync(cancel))
        {
            var row = new object?[reader.FieldCount];
            for (var i = 0; i < row.Length; i++)
                row[i] = await reader.IsDBNullAsync(i, cancel) ? null : reader.GetValue(i);
            rows.Add(row);
        }
        return rows;
    }
}
