using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Tests.Harness;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Storage.Tests.WorkQueue;

public sealed class WorkQueueTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Remove_afterAnotherChange_leavesTheHorseWaiting(StoreKind kind)
    {
        await using var store = await StoreAsync(kind);
        await AddAsync(store);
        var taken = Assert.Single(await NextAsync(store));
        store.Clock.Now += TimeSpan.FromMinutes(1);
        await AddAsync(store);

        Assert.False(await RemoveAsync(store, taken));

        var still = Assert.Single(await NextAsync(store));
        Assert.Equal((taken.Generation + 1, taken.EnqueuedAt), (still.Generation, still.EnqueuedAt));
        Assert.True(await RemoveAsync(store, still));
        Assert.Empty(await NextAsync(store));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task PutOff_horse_isNotNextUntilThen(StoreKind kind)
    {
        await using var store = await StoreAsync(kind);
        await AddAsync(store);
        var taken = Assert.Single(await NextAsync(store));

        await using (var session = await store.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            await WorkQueueStore.PutOffAsync(session, taken);
            await session.CommitAsync();
        }

        Assert.Empty(await NextAsync(store));
        store.Clock.Now += TimeSpan.FromMinutes(5);
        Assert.Single(await NextAsync(store));
        store.Clock.Now -= TimeSpan.FromHours(1); // Set back: five minutes do not become an hour and five.
        Assert.Single(await NextAsync(store));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Add_rolledBack_queuesNobody(StoreKind kind)
    {
        await using var store = await StoreAsync(kind);
        await using (var session = await store.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            await WorkQueueStore.AddHorseAsync(session, Larkfield.Horse);
            Assert.True(session.Queued);
        }

        Assert.Empty(await NextAsync(store));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task AddHorsesOfSaddle_andOfYard_queueThoseTheyMean(StoreKind kind)
    {
        await using var store = await StoreAsync(kind);
        var saddle = Assert.Single(await store.ListAsync("select id from saddles"));
        await using (var session = await store.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            await WorkQueueStore.AddHorsesOfSaddleAsync(session, saddle);
            await session.CommitAsync();
        }
        Assert.Equal([Larkfield.Horse], (await NextAsync(store)).Select(h => h.HorseId));

        await store.ExecuteAsync($"update horses set status = 'sold' where id = '{Larkfield.Horse}'");
        await store.ExecuteAsync("delete from work_queue");
        await using (var session = await store.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            await WorkQueueStore.AddHorsesOfYardAsync(session, Larkfield.Yard);
            await session.CommitAsync();
        }
        Assert.Equal([Larkfield.OtherHorse], (await NextAsync(store)).Select(h => h.HorseId));
    }

    private static async Task<OpenStore> StoreAsync(StoreKind kind)
    {
        var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);
        await store.ExecuteAsync("delete from work_queue");
        return store;
    }

    private static async Task AddAsync(OpenStore store)
    {
        await using var session = await store.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        await WorkQueueStore.AddHorseAsync(session, Larkfield.Horse);
        await session.CommitAsync();
    }

    private static async Task<IReadOnlyList<QueuedHorse>> NextAsync(OpenStore store)
    {
        await using var session = await store.Database.ReadAsync(TestContext.Current.CancellationToken);
        return await WorkQueueStore.NextAsync(session, store.Clock.Now, 10);
    }

    private static async Task<bool> RemoveAsync(OpenStore store, QueuedHorse horse)
    {
        await using var session = await store.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        var removed = await WorkQueueStore.RemoveAsync(session, horse);
        await session.CommitAsync();
        return removed;
    }
}
