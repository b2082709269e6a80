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

    /// <summary>Keeps a command for the next use.</summary>
    public void Keep(SqliteCommand command)
    {
        command.Parameters.Clear();
        command.Transaction = null;
        command.CommandTimeout = DefaultTimeout;
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

/// <summary>Stands for one of the statements that a connection keeps, from the moment its text is known.</summary>
internal sealed class KeptCommand(KeptConnection connection) : DbCommand
{
    private SqliteTransaction? _transaction;
    private SqliteCommand? _command;

    /// <inheritdoc />
    [AllowNull]
    public override string CommandText
    {
        get => _command?.CommandText ?? "";
        set
        {
            var before = _command;
            _command = connection.Take(value ?? "");
            _command.Transaction = _transaction;
            if (before is null)
                return;
            _command.CommandTimeout = before.CommandTimeout;
            foreach (SqliteParameter parameter in before.Parameters)
                _command.Parameters.Add(parameter);
            connection.Keep(before);
        }
    }

    /// <inheritdoc />
    public override int CommandTimeout { get => Command.CommandTimeout; set => Command.CommandTimeout = value; }

    /// <inheritdoc />
    public override CommandType CommandType { get => CommandType.Text; set => Command.CommandType = value; }

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
    protected override DbParameterCollection DbParameterCollection => Command.Parameters;

    /// <inheritdoc />
    protected override DbTransaction? DbTransaction
    {
        get => _transaction;
        set
        {
            _transaction = (SqliteTransaction?)value;
            if (_command is not null)
                _command.Transaction = _transaction;
        }
    }

    private SqliteCommand Command => _command ?? throw new InvalidOperationException("A statement is known by its text: set it first.");

    /// <inheritdoc />
    public override void Cancel() => Command.Cancel();

    /// <inheritdoc />
    public override int ExecuteNonQuery() => Command.ExecuteNonQuery();

    /// <inheritdoc />
    public override object? ExecuteScalar() => Command.ExecuteScalar();

    /// <inheritdoc />
    public override void Prepare() => Command.Prepare();

    /// <inheritdoc />
    protected override DbParameter CreateDbParameter() => new SqliteParameter();

    /// <inheritdoc />
    protected override DbDataReader ExecuteDbDataReader(CommandBehavior behavior) => Command.ExecuteReader(behavior);

    /// <inheritdoc />
    protected override void Dispose(bool disposing)
    {
        if (disposing && _command is { } command)
            connection.Keep(command);
        _command = null;
        base.Dispose(disposing);
    }
}
