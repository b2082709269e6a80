using BackTracker.Storage.Dialects;
using Dapper;

namespace BackTracker.Storage.Tests;

/// <summary>Statements that are kept answer as new ones would.</summary>
public sealed class KeptConnectionTests : IAsyncLifetime
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-kept-").FullName;
    private readonly SqliteDialect _dialect;

    public KeptConnectionTests() => _dialect = new SqliteDialect(Path.Combine(_folder, "kept.db"));

    public async ValueTask InitializeAsync()
    {
        await using var connection = await _dialect.OpenAsync(TestContext.Current.CancellationToken);
        await connection.ExecuteAsync("create table things (id integer primary key, word text, parent integer references things (id))");
        await connection.ExecuteAsync("insert into things (id, word) values (@id, @word)", Enumerable.Range(1, 9).Select(id => new { id, word = $"w{id}" }));
    }

    [Fact]
    public async Task Query_ofAListAmongOtherValues_isBoundAnewForEveryLength()
    {
        await using var connection = await _dialect.OpenAsync(TestContext.Current.CancellationToken);
        for (var round = 0; round < 2; round++)
            foreach (var ids in new[] { new[] { 2, 5 }, [3], [1, 4, 8] })
                Assert.Equal(ids.Where(id => id > 1), await connection.QueryAsync<int>("select id from things where id > @after and id in @ids order by id limit @most", new { after = 1, ids, most = 9 }));
    }

    [Fact]
    public async Task Query_withinTheSameQuery_hasAStatementOfItsOwn()
    {
        await using var connection = await _dialect.OpenAsync(TestContext.Current.CancellationToken);
        const string All = "select id from things order by id";
        var seen = new List<int>();
        foreach (var id in connection.Query<int>(All, buffered: false))
            seen.Add(id + connection.Query<int>(All).Count());

        Assert.Equal(Enumerable.Range(10, 9), seen);
    }

    [Fact]
    public async Task Connection_givenBackWithinATransaction_keepsNothingOfIt()
    {
        await using (var connection = await _dialect.OpenAsync(TestContext.Current.CancellationToken))
        {
            var transaction = await _dialect.BeginSnapshotAsync(connection, TestContext.Current.CancellationToken);
            await connection.ExecuteAsync("delete from things", transaction: transaction);
        }

        await using var next = await _dialect.OpenAsync(TestContext.Current.CancellationToken);
        Assert.Equal(9, await next.ExecuteScalarAsync<long>("select count(*) from things"));
    }

    [Fact]
    public async Task Connection_givenBackTwice_isNotTakenFromItsNextUser()
    {
        var first = await _dialect.OpenAsync(TestContext.Current.CancellationToken);
        await first.DisposeAsync();
        await first.DisposeAsync();

        await using var one = await _dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var another = await _dialect.OpenAsync(TestContext.Current.CancellationToken);
        Assert.NotSame(one, another);
    }

    [Fact]
    public async Task Connection_refusesAReferenceToNothing()
    {
        await using var connection = await _dialect.OpenAsync(TestContext.Current.CancellationToken);
        await Assert.ThrowsAsync<Microsoft.Data.Sqlite.SqliteException>(() => connection.ExecuteAsync("insert into things (id, parent) values (77, 78)"));
        Assert.Equal(2L, await connection.ExecuteScalarAsync<long>("pragma synchronous"));
    }

    public async ValueTask DisposeAsync()
    {
        await _dialect.DisposeAsync();
        Directory.Delete(_folder, recursive: true);
    }
}
