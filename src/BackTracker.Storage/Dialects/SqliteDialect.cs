using System.Collections.Concurrent;
using System.Data.Common;
using DbUp;
using DbUp.Builder;
using Microsoft.Data.Sqlite;

namespace BackTracker.Storage.Dialects;

/// <summary>
/// One file in WAL mode with synchronous FULL and foreign keys on, both the library's defaults: asking for them costs a statement at every opening. Writers of this process queue at a gate:
/// the library's own answer to a busy file is to sleep and try again, which is unfair and slow.
/// </summary>
public sealed class SqliteDialect : Dialect
{
    private const int MostFree = 16;

    // Read in about half a second; a larger file is read whole by the backup of every night.
    private const long MostCheckedAtOnceBytes = 256L << 20;

    private readonly ConcurrentStack<KeptConnection> _free = new();
    private readonly SemaphoreSlim _writers = new(1, 1);
    private volatile bool _isOver;
    private readonly string _connectionString;

    /// <summary>A store in <paramref name="path"/>.</summary>
    public SqliteDialect(string path) : this(path, SqliteOpenMode.ReadWriteCreate)
    {
    }

    private SqliteDialect(string path, SqliteOpenMode mode)
    {
        FilePath = path;
        _connectionString = new SqliteConnectionStringBuilder
        {
            DataSource = path,
            Mode = mode,
            Pooling = false,
            DefaultTimeout = 30,
        }.ToString();
    }

    /// <summary>A file that is only looked at, such as a backup.</summary>
    public static SqliteDialect ReadOnly(string path) => new(path, SqliteOpenMode.ReadOnly);

    /// <summary>The database file.</summary>
    public string FilePath { get; }

    /// <inheritdoc />
    public override string Name => "SQLite";

    /// <inheritdoc />
    public override bool WorksAtOnce => true;

    /// <inheritdoc />
    public override async Task<DbConnection> OpenAsync(CancellationToken cancel)
    {
        if (_free.TryPop(out var kept))
            return kept.Use();
        RefuseLogAlone();
        var connection = new KeptConnection(_connectionString, TakeBack).Use();
        try
        {
            await connection.OpenAsync(cancel);
            return connection;
        }
        catch
        {
            connection.End();
            throw;
        }
    }

    /// <inheritdoc />
    public override async Task<WriteLease> BeginWriteAsync(CancellationToken cancel)
    {
        await _writers.WaitAsync(cancel);
        try
        {
            var connection = (SqliteConnection)await OpenAsync(cancel);
            return new WriteLease(connection, connection.BeginTransaction(deferred: false), () => _writers.Release());
        }
        catch
        {
            _writers.Release();
            throw;
        }
    }

    /// <inheritdoc />
    public override Task<DbTransaction> BeginSnapshotAsync(DbConnection connection, CancellationToken cancel) =>
        Task.FromResult<DbTransaction>(((SqliteConnection)connection).BeginTransaction(deferred: true));

    /// <inheritdoc />
    public override async Task PrepareAsync(CancellationToken cancel)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(FilePath))!);
        try
        {
            await RefuseDamagedAsync(cancel);
            await using var connection = (SqliteConnection)await OpenAsync(cancel);
            await using var command = connection.CreateCommand();
            command.CommandText = "pragma journal_mode = wal";
            await command.ExecuteScalarAsync(cancel);
        }
        catch (SqliteException error) when (error.SqliteErrorCode is 11 or 26)
        {
            throw new StorageException(Damaged(error.Message), error);
        }
    }

    /// <summary>Looks through a connection that only reads: where one that writes is the last to be closed, the log is carried over into the damaged file.</summary>
    private async Task RefuseDamagedAsync(CancellationToken cancel)
    {
        RefuseLogAlone();
        if (new FileInfo(FilePath) is not { Exists: true, Length: > 0 and var length })
            return;
        await using var reader = ReadOnly(FilePath);
        await using var connection = await reader.OpenAsync(cancel);
        await using var command = connection.CreateCommand();
        command.CommandText = length <= MostCheckedAtOnceBytes ? "pragma quick_check(1)" : "pragma schema_version";
        if (await command.ExecuteScalarAsync(cancel) is string fault and not "ok")
            throw new StorageException(Damaged(fault));
    }

    /// <summary>To the library a file of no bytes is a new one, whose log it takes away.</summary>
    private void RefuseLogAlone()
    {
        if (new FileInfo(FilePath + "-wal") is { Exists: true, Length: > 0 } && new FileInfo(FilePath) is not { Exists: true, Length: > 0 })
            throw new StorageException(Damaged("it is empty, and its log is not"));
    }

    private string Damaged(string fault) =>
        $"{FilePath} is damaged or is not a database ({fault.ReplaceLineEndings(" ")}). Nothing was changed. Restore the newest backup: backtracker restore FILE --data DIR --force keeps this file beside it.";

    /// <inheritdoc />
    public override Task<IAsyncDisposable> LockAsync(StoreLock what, CancellationToken cancel) =>
        Task.FromResult<IAsyncDisposable>(new NoLock());

    /// <inheritdoc />
    public override UpgradeEngineBuilder Upgrader() => DeployChanges.To.SqliteDatabase(_connectionString);

    /// <inheritdoc />
    public override async Task<bool> TableExistsAsync(DbConnection connection, string table, CancellationToken cancel)
    {
        await using var command = connection.CreateCommand();
        command.CommandText = "select count(*) from sqlite_master where type = 'table' and name = @table";
        command.Parameters.Add(new SqliteParameter("@table", table));
        return (long)(await command.ExecuteScalarAsync(cancel))! > 0;
    }

    /// <inheritdoc />
    public override async Task<IReadOnlyList<string>> IntegrityFaultsAsync(CancellationToken cancel)
    {
        await using var connection = await OpenAsync(cancel);
        var faults = new List<string>();
        await using var command = connection.CreateCommand();
        command.CommandText = "pragma integrity_check";
        await using (var reader = await command.ExecuteReaderAsync(cancel))
            while (await reader.ReadAsync(cancel))
                if (reader.GetString(0) is not "ok" and var fault)
                    faults.Add(fault);
        command.CommandText = "pragma foreign_key_check";
        await using (var reader = await command.ExecuteReaderAsync(cancel))
            while (await reader.ReadAsync(cancel))
                faults.Add($"a row of {reader.GetString(0)} names a row of {reader.GetString(2)} that is not there");
        return faults;
    }

    /// <inheritdoc />
    public override string WaitForSql => "";

    /// <inheritdoc />
    public override string Among(string column, string parameter) => $"{column} in @{parameter}";

    /// <inheritdoc />
    public override bool IsUniqueViolation(DbException error) =>
        error is SqliteException { SqliteExtendedErrorCode: 2067 or 1555 };

    /// <inheritdoc />
    public override bool IsGivenUp(DbException error) => false; // One writes at a time.

    /// <inheritdoc />
    public override bool IsOutOfOrder(DbException error) => error is SqliteException { SqliteErrorCode: 8 or 10 or 13 or 14 }; // Read-only, I/O, full, cannot be opened.

    /// <inheritdoc />
    public override bool LeavesCommitOpen(DbException error) => false; // The file is in this process's hands.

    /// <inheritdoc />
    public override ValueTask DisposeAsync()
    {
        _isOver = true;
        while (_free.TryPop(out var connection))
            connection.End();
        _writers.Dispose();
        GC.SuppressFinalize(this);
        return ValueTask.CompletedTask;
    }

    private bool TakeBack(KeptConnection connection)
    {
        if (_isOver || _free.Count >= MostFree)
            return false;
        _free.Push(connection);
        return true;
    }

    private sealed class NoLock : IAsyncDisposable
    {
        public ValueTask DisposeAsync() => ValueTask.CompletedTask;
    }
}
