using System.Data.Common;
using BackTracker.Storage.Dialects;
using Dapper;

namespace BackTracker.Storage.Sessions;

/// <summary>One write transaction: state, audit, queue and idempotency records of one change stand or fall together.</summary>
public sealed class WriteSession : ReadSession
{
    private readonly WriteLease _lease;
    private readonly Dialect _dialect;
    private readonly CancellationToken _cancel;

    private readonly Database _database;

    internal WriteSession(WriteLease lease, Dialect dialect, string actor, DateTimeOffset now, Database database, CancellationToken cancel)
        : base(lease.Connection, dialect, cancel)
    {
        _database = database;
        _lease = lease;
        _dialect = dialect;
        _cancel = cancel;
        Actor = actor;
        Now = now;
    }

    /// <summary>Who writes.</summary>
    public string Actor { get; }

    /// <summary>The instant of this change.</summary>
    public DateTimeOffset Now { get; }

    /// <summary>True once something was put into the work queue.</summary>
    public bool Queued { get; internal set; }

    /// <summary>True once a letter was written, or is to be tried again.</summary>
    public bool Mailed { get; internal set; }

    /// <summary>True once a key works no longer, or not for ever.</summary>
    public bool KeysChanged { get; internal set; }

    /// <summary>True once something is to be delivered to a webhook.</summary>
    public bool Delivering { get; internal set; }

    /// <summary>A new id, later in order than every one made before in this process.</summary>
    public string NewId() => Ids.New(Now);

    /// <summary>The instant of this change as stored.</summary>
    public string NowText => Instants.Write(Now);

    private protected override DbTransaction Transaction => _lease.Transaction;

    /// <summary>Makes the change lasting.</summary>
    /// <exception cref="StorageException">Nobody can say whether it has become so.</exception>
    public async Task CommitAsync()
    {
        try
        {
            await _lease.Transaction.CommitAsync(_cancel);
        }
        catch (DbException error)
        {
            _database.NoteFailed(error);
            if (_dialect.LeavesCommitOpen(error))
                throw new StorageException("The connection to the store broke while the change was made lasting, so whether it was kept is not known. Send the same again, with the same Idempotency-Key if it had one: what has one is done once.", error);
            throw;
        }
        _database.NoteCommitted(this);
    }

    /// <summary>True when the error means that a unique rule was broken.</summary>
    public bool IsUniqueViolation(DbException error) => _dialect.IsUniqueViolation(error);

    internal async Task<int> ExecuteAsync(string sql, object? values = null)
    {
        try
        {
            return await Connection.ExecuteAsync(Command(sql, values));
        }
        catch (DbException error)
        {
            _database.NoteFailed(error);
            throw;
        }
    }

    /// <summary>Waits until no other transaction goes on that has named the same thing, and has later ones wait for this one.</summary>
    internal Task WaitForAsync(string name) => _dialect.WaitForSql is { Length: > 0 } sql ? ExecuteAsync(sql, new { name }) : Task.CompletedTask;

    /// <summary>Writes many rows of one table in one go.</summary>
    internal async Task WriteRowsAsync(string table, IReadOnlyList<string> columns, IEnumerable<object?[]> rows)
    {
        await using var writer = await RowWriter.BeginAsync(Transaction, table, columns, _cancel);
        foreach (var row in Ahead.Of(rows))
        {
            for (var i = 0; i < row.Length; i++)
                row[i] ??= DBNull.Value;
            await writer.WriteAsync(row!, _cancel);
        }
        await writer.CompleteAsync(_cancel);
    }

    /// <inheritdoc />
#pragma warning disable CA2215 // The lease gives the connection back; once more would take it from its next user.
    public override async ValueTask DisposeAsync()
#pragma warning restore CA2215
    {
        await _lease.DisposeAsync();
        GC.SuppressFinalize(this);
    }
}
