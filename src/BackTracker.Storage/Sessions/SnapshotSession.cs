using System.Data.Common;
using BackTracker.Storage.Dialects;

namespace BackTracker.Storage.Sessions;

/// <summary>Reads the store as it was when it was first read.</summary>
internal sealed class SnapshotSession(DbConnection connection, DbTransaction moment, Dialect dialect, CancellationToken cancel)
    : ReadSession(connection, dialect, cancel)
{
    private protected override DbTransaction Transaction => moment;

    /// <inheritdoc />
    public override async ValueTask DisposeAsync()
    {
        await moment.DisposeAsync();
        await base.DisposeAsync();
    }
}
