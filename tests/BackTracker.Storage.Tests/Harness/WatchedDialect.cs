using System.Data;
using System.Data.Common;
using BackTracker.Storage.Dialects;
using DbUp.Builder;
using Microsoft.Data.Sqlite;

namespace BackTracker.Storage.Tests.Harness;

/// <summary>SQLite that writes down how it finds the rows of everything that is asked.</summary>
internal sealed class WatchedDialect(string path) : Dialect
{
    private readonly SqliteDialect _inner = new(path);

    /// <summary>Steps of the plans, as EXPLAIN QUERY PLAN says them.</summary>
    public List<string> Plans { get; } = [];

    public override string Name => _inner.Name;

    public override bool WorksAtOnce => _inner.WorksAtOnce;

    public override async Task<DbConnection> OpenAsync(CancellationToken cancel)
    {
        var connection = new WatchedConnection(path, Plans);
        await connection.OpenAsync(cancel);
        return connection;
    }

    public override async Task<WriteLease> BeginWriteAsync(CancellationToken cancel)
    {
        var connection = (SqliteConnection)await OpenAsync(cancel);
        return new WriteLease(connection, connection.BeginTransaction(deferred: false), () => { });
    }

    public override Task<DbTransaction> BeginSnapshotAsync(DbConnection connection, CancellationToken cancel) => _inner.BeginSnapshotAsync(connection, cancel);

    public override Task PrepareAsync(CancellationToken cancel) => _inner.PrepareAsync(cancel);

    public override Task<IAsyncDisposable> LockAsync(StoreLock what, CancellationToken cancel) => _inner.LockAsync(what, cancel);

    public override UpgradeEngineBuilder Upgrader() => _inner.Upgrader();

    public override Task<bool> TableExistsAsync(DbConnection connection, string table, CancellationToken cancel) => _inner.TableExistsAsync(connection, table, cancel);

    public override Task<IReadOnlyList<string>> IntegrityFaultsAsync(CancellationToken cancel) => _inner.IntegrityFaultsAsync(cancel);

    public override bool IsUniqueViolation(DbException error) => _inner.IsUniqueViolation(error);

    public override bool IsGivenUp(DbException error) => _inner.IsGivenUp(error);

    public override bool IsOutOfOrder(DbException error) => _inner.IsOutOfOrder(error);

    public override bool LeavesCommitOpen(DbException error) => _inner.LeavesCommitOpen(error);

    public override string WaitForSql => _inner.WaitForSql;

    public override string Among(string column, string parameter) => _inner.Among(column, parameter);

    public override ValueTask DisposeAsync() => _inner.DisposeAsync();

    private sealed class WatchedConnection(string path, List<string> plans) : SqliteConnection($"Data Source={path};Foreign Keys=True")
    {
        public override SqliteCommand CreateCommand() => new WatchedCommand(plans) { Connection = this, Transaction = Transaction };
    }

    private sealed class WatchedCommand(List<string> plans) : SqliteCommand
    {
        private bool _explaining;

        public override SqliteDataReader ExecuteReader(CommandBehavior behavior)
        {
            if (!_explaining)
                Explain();
            return base.ExecuteReader(behavior);
        }

        public override int ExecuteNonQuery()
        {
            if (!_explaining)
                Explain();
            return base.ExecuteNonQuery();
        }

        private void Explain()
        {
            var text = CommandText;
            (_explaining, CommandText) = (true, "explain query plan " + text);
            using (var reader = base.ExecuteReader(CommandBehavior.Default))
                while (reader.Read())
                    plans.Add(reader.GetString(3));
            CommandText = text;
            _explaining = false;
        }
    }
}
