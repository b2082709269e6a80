using System.Data.Common;
using DbUp.Builder;

namespace BackTracker.Storage.Dialects;

/// <summary>The handful of things that differ between SQLite and PostgreSQL.</summary>
public abstract class Dialect : IAsyncDisposable
{
    /// <summary>"SQLite" or "PostgreSQL".</summary>
    public abstract string Name { get; }

    /// <summary>True where a query is done by the thread that asks, whatever it is told about waiting.</summary>
    public abstract bool WorksAtOnce { get; }

    /// <summary>An open connection, from the pool.</summary>
    public abstract Task<DbConnection> OpenAsync(CancellationToken cancel);

    /// <summary>Waits for the right to write and begins a transaction that cannot fail later for want of the lock.</summary>
    public abstract Task<WriteLease> BeginWriteAsync(CancellationToken cancel);

    /// <summary>Begins to read the store as it is at one moment, without holding up any writer.</summary>
    public abstract Task<DbTransaction> BeginSnapshotAsync(DbConnection connection, CancellationToken cancel);

    /// <summary>Creates the database file where there is none and sets what is set once.</summary>
    public abstract Task PrepareAsync(CancellationToken cancel);

    /// <summary>Holds off any other instance that would do the same.</summary>
    public abstract Task<IAsyncDisposable> LockAsync(StoreLock what, CancellationToken cancel);

    /// <summary>The migration engine for this database.</summary>
    public abstract UpgradeEngineBuilder Upgrader();

    /// <summary>Whether a table exists.</summary>
    public abstract Task<bool> TableExistsAsync(DbConnection connection, string table, CancellationToken cancel);

    /// <summary>Complaints of the database's own integrity check; none when it is sound.</summary>
    public abstract Task<IReadOnlyList<string>> IntegrityFaultsAsync(CancellationToken cancel);

    /// <summary>True when the error means that a unique rule was broken.</summary>
    public abstract bool IsUniqueViolation(DbException error);

    /// <summary>True when the error means that a transaction was given up for the sake of another, and may well succeed if it is repeated.</summary>
    public abstract bool IsGivenUp(DbException error);

    /// <summary>True when the error means that the store itself cannot be written, whatever is asked of it: full, broken, set to reading, or away.</summary>
    public abstract bool IsOutOfOrder(DbException error);

    /// <summary>True when the error of a commit leaves open whether the change has become lasting.</summary>
    public abstract bool LeavesCommitOpen(DbException error);

    /// <summary>Has whoever names the same thing (@name) wait until this transaction is over; empty where one writes at a time anyway.</summary>
    public abstract string WaitForSql { get; }

    /// <summary>The condition that a column is one of a list parameter.</summary>
    public abstract string Among(string column, string parameter);

    /// <summary>Closes pooled connections.</summary>
    public abstract ValueTask DisposeAsync();

    /// <summary>SQLite in a folder, or PostgreSQL where a connection string is given.</summary>
    public static Dialect Choose(string dataFolder, string? postgresConnection) =>
        string.IsNullOrWhiteSpace(postgresConnection)
            ? new SqliteDialect(Path.Combine(dataFolder, "backtracker.db"))
            : new PostgresDialect(postgresConnection);
}

/// <summary>What one instance at a time does.</summary>
public enum StoreLock
{
    /// <summary>Upgrades the schema.</summary>
    Upgrade,

    /// <summary>Starts.</summary>
    Start,
}

/// <summary>A connection with a running write transaction; disposing it without a commit rolls back.</summary>
/// <param name="connection">The connection.</param>
/// <param name="transaction">Its transaction.</param>
/// <param name="release">Run when all is over.</param>
public sealed class WriteLease(DbConnection connection, DbTransaction transaction, Action release) : IAsyncDisposable
{
    /// <summary>The connection.</summary>
    public DbConnection Connection => connection;

    /// <summary>The running transaction.</summary>
    public DbTransaction Transaction => transaction;

    /// <inheritdoc />
    public async ValueTask DisposeAsync()
    {
        try
        {
            await transaction.DisposeAsync();
            await connection.DisposeAsync();
        }
        finally
        {
            release();
        }
    }
}
