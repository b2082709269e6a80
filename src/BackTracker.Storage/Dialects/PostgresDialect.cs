using System.Data;
using System.Data.Common;
using DbUp;
using DbUp.Builder;
using Npgsql;

namespace BackTracker.Storage.Dialects;

/// <summary>A PostgreSQL database. Only ids and ISO 8601 text are ever ordered: fixed alphabets, which sort alike under every collation.</summary>
public sealed class PostgresDialect : Dialect
{
    private const long FirstLock = 0x6261_636b_7472;
    private readonly string _connectionString;
    private readonly NpgsqlDataSource _source;

    /// <summary>A store behind <paramref name="connectionString"/>.</summary>
    public PostgresDialect(string connectionString)
    {
        _connectionString = connectionString;
        _source = NpgsqlDataSource.Create(connectionString);
    }

    /// <inheritdoc />
    public override string Name => "PostgreSQL";

    /// <inheritdoc />
    public override bool WorksAtOnce => false;

    /// <inheritdoc />
    public override async Task<DbConnection> OpenAsync(CancellationToken cancel) => await _source.OpenConnectionAsync(cancel);

    /// <inheritdoc />
    public override async Task<WriteLease> BeginWriteAsync(CancellationToken cancel)
    {
        var connection = await _source.OpenConnectionAsync(cancel);
        return new WriteLease(connection, await connection.BeginTransactionAsync(IsolationLevel.ReadCommitted, cancel), () => { });
    }

    /// <inheritdoc />
    public override async Task<DbTransaction> BeginSnapshotAsync(DbConnection connection, CancellationToken cancel) =>
        await connection.BeginTransactionAsync(IsolationLevel.RepeatableRead, cancel);

    /// <inheritdoc />
    public override async Task PrepareAsync(CancellationToken cancel)
    {
        try
        {
            await using var connection = await OpenAsync(cancel);
        }
        catch (NpgsqlException error)
        {
            throw new StorageException($"The PostgreSQL database cannot be reached: {error.Message}", error);
        }
    }

    /// <inheritdoc />
    public override async Task<IAsyncDisposable> LockAsync(StoreLock what, CancellationToken cancel)
    {
        // Not pooled: the lock lives and dies with the session. Whoever has it may be long at it.
        var connection = new NpgsqlConnection(new NpgsqlConnectionStringBuilder(_connectionString) { Pooling = false, CommandTimeout = 0 }.ToString());
        await connection.OpenAsync(cancel);
        await using var command = new NpgsqlCommand("select pg_advisory_lock(@lock)", connection);
        command.Parameters.AddWithValue("lock", FirstLock + (long)what);
        await command.ExecuteNonQueryAsync(cancel);
        return connection;
    }

    /// <inheritdoc />
    public override UpgradeEngineBuilder Upgrader() => DeployChanges.To.PostgresqlDatabase(_connectionString);

    /// <inheritdoc />
    public override async Task<bool> TableExistsAsync(DbConnection connection, string table, CancellationToken cancel)
    {
        await using var command = connection.CreateCommand();
        command.CommandText = "select to_regclass(@table) is not null";
        command.Parameters.Add(new NpgsqlParameter("table", table));
        return (bool)(await command.ExecuteScalarAsync(cancel))!;
    }

    /// <inheritdoc />
    public override Task<IReadOnlyList<string>> IntegrityFaultsAsync(CancellationToken cancel) =>
        Task.FromResult<IReadOnlyList<string>>([]); // PostgreSQL enforces its own rules; verify reads every row as well.

    /// <inheritdoc />
    public override string WaitForSql => "select pg_advisory_xact_lock(hashtextextended(@name, 0))";

    /// <inheritdoc />
    public override string Among(string column, string parameter) => $"{column} = any(@{parameter})";

    /// <inheritdoc />
    public override bool IsUniqueViolation(DbException error) => error is PostgresException { SqlState: "23505" };

    /// <inheritdoc />
    public override bool IsGivenUp(DbException error) =>
        error is PostgresException { SqlState: PostgresErrorCodes.DeadlockDetected or PostgresErrorCodes.SerializationFailure };

    /// <inheritdoc />
    public override bool IsOutOfOrder(DbException error) => error is not PostgresException { SqlState: var state }
        || state is PostgresErrorCodes.ReadOnlySqlTransaction || state[..2] is "53" or "57" or "58"; // Out of resources, told to stop, troubles of its system.

    /// <inheritdoc />
    public override bool LeavesCommitOpen(DbException error) => error is not PostgresException { SqlState: var state } || state[..2] is "08" or "57"; // No answer, or cut off.

    /// <inheritdoc />
    public override async ValueTask DisposeAsync()
    {
        await _source.DisposeAsync();
        GC.SuppressFinalize(this);
    }
}
