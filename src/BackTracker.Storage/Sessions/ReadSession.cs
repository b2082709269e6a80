using System.Data.Common;
using Dapper;

namespace BackTracker.Storage.Sessions;

/// <summary>A connection to read with. Not safe for use by several threads at once.</summary>
public class ReadSession : IAsyncDisposable
{
    private readonly DbConnection _connection;
    private readonly CancellationToken _cancel;

    internal ReadSession(DbConnection connection, CancellationToken cancel)
    {
        _connection = connection;
        _cancel = cancel;
    }

    private protected virtual DbTransaction? Transaction => null;

    internal async Task<IReadOnlyList<T>> ListAsync<T>(string sql, object? values = null) =>
        (await _connection.QueryAsync<T>(Command(sql, values))).AsList();

    internal Task<T?> FirstAsync<T>(string sql, object? values = null) =>
        _connection.QueryFirstOrDefaultAsync<T>(Command(sql, values));

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
