using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Tests.Harness;

namespace BackTracker.Storage.Tests.Backup;

public sealed class StoreTablesTests
{
    [Fact]
    public async Task InOrder_againstTheSchema_namesEveryTableAfterThoseItRefersTo()
    {
        await using var store = await OpenStore.CreateAsync(StoreKind.Sqlite);
        var inSchema = await store.ListAsync("select name from sqlite_master where type = 'table' and name not like 'sqlite_%' and lower(name) not in ('schemaversions', 'schema_checksums')");
        Assert.Equal(inSchema.Order(StringComparer.Ordinal), StoreTables.InOrder.Order(StringComparer.Ordinal));

        foreach (var table in StoreTables.InOrder)
            foreach (var target in await store.ListAsync($"select \"table\" from pragma_foreign_key_list('{table}')"))
                Assert.True(IndexOf(target) <= IndexOf(table), $"{table} refers to {target}, which comes later");
    }

    [Fact]
    public async Task Larkfield_hasARowInEveryTable()
    {
        await using var store = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(store);

        foreach (var table in StoreTables.InOrder)
            Assert.NotEmpty(await store.ListAsync($"select * from {table}"));
    }

    private static int IndexOf(string table) => StoreTables.InOrder.ToList().IndexOf(table);
}
