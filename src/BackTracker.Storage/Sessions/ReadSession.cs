using System.Data.Common;
using BackTracker.Storage.Dialects;
using Dapper;

namespace BackTracker.Storage.Sessions;

/// <summary>A connection to read with. Not safe for use by several threads at once.</summary>
public class ReadSession : IAsyncDisposable
{
    private readonly DbConnection _connection;
    private readonly Dialect _dialect;
    private readonly CancellationToken _cancel;

    internal ReadSession(DbConnection connection, Dialect dialect, CancellationToken cancel)
    {
        _connection = connection;
        _dialect = dialect;
        _cancel = cancel;
    }

    private protected virtual DbTransaction? Transaction => null;

    // The library of SQLite works where it is called in any case; to wait for that costs a tenth of a short read.
    internal async Task<IReadOnlyList<T>> ListAsync<T>(string sql, object? values = null) =>
        (_dialect.WorksAtOnce ? _connection.Query<T>(Command(sql, values)) : await _connection.QueryAsync<T>(Command(sql, values))).AsList();

    internal async Task<T?> FirstAsync<T>(string sql, object? values = null) => _dialect.WorksAtOnce
        ? _connection.QueryFirstOrDefault<T>(Command(sql, values))
        : await _connection.QueryFirstOrDefaultAsync<T>(Command(sql, values));

    /// <summary>The condition that a column is one of a list parameter.</summary>
    internal string Among(string column, string parameter) => _dialect.Among(column, parameter);

    /// <summary>The condition that a yard is one the caller may see; needs the parameter Yards of the <see cref="Sight"/>. Plain, so that an index can be used.</summary>
    internal string Sees(string yardColumn, Sight sight) => sight.EveryYard == 1 ? "1 = 1" : Among(yardColumn, nameof(Sight.Yards));

    internal CommandDefinition Command(string sql, object? values) =>
        new(sql, values, Transaction, cancellationToken: _cancel);

    internal DbConnection Connection => _connection;

    /// <inheritdoc />
    public virtual async ValueTask DisposeAsync()
    {
        await _connection.DisposeAsync();
        GC.SuppressFinalize(this);
    }
}
