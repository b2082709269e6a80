using System.Data.Common;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Idempotency;
using BackTracker.Storage.Tests.Harness;

namespace BackTracker.Storage.Tests.Idempotency;

public sealed class IdempotencyTests
{
    private static readonly StoredAnswer Answer = new() { Fingerprint = "f", Status = 201, Location = "/v1/yards/1", Etag = "\"1\"", Body = "{}" };

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Find_savedAnswer_isTheSameForItsKeyAndForNobodyElse(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await SaveAsync(store, "alice", "one");

        Assert.Equal(Answer, await FindAsync(store, "alice", "one"));
        Assert.Null(await FindAsync(store, "alice", "two"));
        Assert.Null(await FindAsync(store, "bob", "one"));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Save_sameKeyTwice_isAUniqueViolation(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await SaveAsync(store, "alice", "one");

        var refusal = await Assert.ThrowsAnyAsync<DbException>(() => SaveAsync(store, "alice", "one"));

        Assert.True(store.Dialect.IsUniqueViolation(refusal));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task ForgetOld_keepsTwoDays(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await SaveAsync(store, "alice", "old");
        store.Clock.Now += TimeSpan.FromHours(1);
        await SaveAsync(store, "alice", "young");
        store.Clock.Now += TimeSpan.FromHours(47.5);

        await using (var session = await store.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            Assert.Equal(1, await IdempotencyStore.ForgetOldAsync(session));
            await session.CommitAsync();
        }

        Assert.Null(await FindAsync(store, "alice", "old"));
        Assert.NotNull(await FindAsync(store, "alice", "young"));
    }

    private static async Task SaveAsync(OpenStore store, string actor, string key)
    {
        await using var session = await store.Database.WriteAsync(actor, TestContext.Current.CancellationToken);
        await IdempotencyStore.SaveAsync(session, key, Answer);
        await session.CommitAsync();
    }

    private static async Task<StoredAnswer?> FindAsync(OpenStore store, string actor, string key)
    {
        await using var session = await store.Database.WriteAsync(actor, TestContext.Current.CancellationToken);
        return await IdempotencyStore.FindAsync(session, key);
    }
}
