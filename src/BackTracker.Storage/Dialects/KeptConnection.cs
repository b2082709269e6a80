using System.Data;
using System.Data.Common;
using System.Diagnostics.CodeAnalysis;
using Microsoft.Data.Sqlite;

namespace BackTracker.Storage.Dialects;

/// <summary>
/// An open connection that is used again and again, and keeps the statements it has prepared: the library prepares a statement anew at
/// every use, which costs as much as a short read itself. Used by one at a time.
/// </summary>
/// <param name="connectionString">Of the file.</param>
/// <param name="takeBack">Takes it back when its user is done; false where it is to be closed.</param>
internal sealed class KeptConnection(string connectionString, Func<KeptConnection, bool> takeBack) : SqliteConnection(connectionString)
{
    // Lists make a text of their own for every length; beyond so many the rest is prepared as before.
    private const int Most = 300;
    private readonly Dictionary<string, SqliteCommand> _idle = [];
    private readonly Dictionary<string, KeptColumns> _columns = [];
    private bool _inUse;

    /// <summary>Begins a use.</summary>
    public KeptConnection Use()
    {
        _inUse = true;
        return this;
    }

    /// <summary>Closes it for good.</summary>
    public void End()
    {
        foreach (var command in _idle.Values)
            command.Dispose();
        _idle.Clear();
        base.Dispose(disposing: true);
    }

    /// <summary>A command with a text, prepared if it was used before and is not in use now.</summary>
    public SqliteCommand Take(string text) => _idle.Remove(text, out var command) ? command : new SqliteCommand(text, this);

    /// <summary>The columns of what a text reads.</summary>
    public KeptColumns ColumnsOf(string text, SqliteDataReader rows)
    {
        if (_columns.TryGetValue(text, out var known) && known.Names.Length == rows.FieldCount)
            return known;
        if (_columns.Count >= Most)
            _columns.Clear();
        return _columns[text] = KeptColumns.Of(rows);
    }

    /// <summary>Keeps a command for the next use.</summary>
    public void Keep(SqliteCommand command)
    {
        command.Parameters.Clear();
        command.Transaction = null;
        if (_idle.Count >= Most || !_idle.TryAdd(command.CommandText, command))
            command.Dispose();
    }

    /// <inheritdoc />
    protected override DbCommand CreateDbCommand() => new KeptCommand(this);

    /// <summary>Ends a use. The connection itself stays open: a second end, of whoever has had it before, must not take it from its next user.</summary>
#pragma warning disable CA2215 // Not closed on purpose; see End.
    protected override void Dispose(bool disposing)
#pragma warning restore CA2215
    {
        if (!_inUse)
            return;
        _inUse = false;
        Transaction?.Dispose();
        if (!disposing || State != ConnectionState.Open || !takeBack(this))
            End();
    }
}

/// <summary>Stands for one of the statements that a connection keeps, from the moment it is run.</summary>
internal sealed class KeptCommand(KeptConnection connection) : DbCommand
{
    // Whoever fills the parameters may hold on to the collection while the text still changes.
    private readonly SqliteCommand _said = new();
    private SqliteCommand? _kept;

    /// <inheritdoc />
    [AllowNull]
    public override string CommandText { get => _said.CommandText; set => _said.CommandText = value; }

    /// <inheritdoc />
    public override int CommandTimeout { get => _said.CommandTimeout; set => _said.CommandTimeout = value; }

    /// <inheritdoc />
    public override CommandType CommandType { get => _said.CommandType; set => _said.CommandType = value; }

    /// <inheritdoc />
    public override bool DesignTimeVisible { get; set; }

    /// <inheritdoc />
    public override UpdateRowSource UpdatedRowSource { get; set; }

    /// <inheritdoc />
    protected override DbConnection? DbConnection
    {
        get => connection;
        set => throw new NotSupportedException("A statement stays with its connection.");
    }

    /// <inheritdoc />
    protected override DbParameterCollection DbParameterCollection => _said.Parameters;

    /// <inheritdoc />
    protected override DbTransaction? DbTransaction { get => _said.Transaction; set => _said.Transaction = (SqliteTransaction?)value; }

    /// <inheritdoc />
    public override void Cancel() => _kept?.Cancel();

    /// <inheritdoc />
    public override int ExecuteNonQuery() => Ready().ExecuteNonQuery();

    /// <inheritdoc />
    public override object? ExecuteScalar() => Ready().ExecuteScalar();

    /// <inheritdoc />
    public override void Prepare() => Ready().Prepare();

    /// <inheritdoc />
    protected override DbParameter CreateDbParameter() => new SqliteParameter();

    /// <inheritdoc />
    protected override DbDataReader ExecuteDbDataReader(CommandBehavior behavior)
    {
        var rows = Ready().ExecuteReader(behavior);
        return new KeptReader(rows, connection.ColumnsOf(CommandText, rows));
    }

    /// <inheritdoc />
    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            GiveBack();
            _said.Dispose(); // Else it waits to be finalized, and a thousand of them hold up the collector.
        }
        base.Dispose(disposing);
    }

    private SqliteCommand Ready()
    {
        if (_kept?.CommandText != CommandText)
        {
            GiveBack();
            _kept = connection.Take(CommandText);
        }
        _kept!.Parameters.Clear();
        foreach (SqliteParameter parameter in _said.Parameters)
            _kept.Parameters.Add(parameter);
        (_kept.CommandTimeout, _kept.Transaction) = (CommandTimeout, _said.Transaction);
        return _kept;
    }

    private void GiveBack()
    {
        if (_kept is { } kept)
            connection.Keep(kept);
        _kept = null;
    }
}
