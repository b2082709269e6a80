using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Migrations;
using BackTracker.Storage.Tests.Harness;

namespace BackTracker.Storage.Tests.Migrations;

/// <summary>Every schema there ever was, with a row in each of its tables, brought to that of today.</summary>
public sealed class UpgradeTests
{
    private static readonly CancellationToken Cancel = CancellationToken.None;

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Prepare_anyEarlierSchema_keepsEveryRowAndEndsAsANewDatabase(StoreKind kind)
    {
        await using var full = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(full);
        await using var made = await OpenStore.CreateAsync(kind);
        var schema = await EarlierRows.SchemaAsync(made);

        for (var steps = 1; steps < Migrator.Scripts.Count; steps++)
            await UpgradeAsync(kind, steps, full, schema);
    }

    private static async Task UpgradeAsync(StoreKind kind, int steps, OpenStore full, IReadOnlyList<string> schema)
    {
        await using var store = await OpenStore.CreateBareAsync(kind);
        await store.Dialect.PrepareAsync(Cancel);
        await Migrator.UpgradeAsync(store.Dialect, [.. Migrator.Scripts.Take(steps)], Cancel);
        await EarlierRows.CopyAsync(full, store);
        await store.ExecuteAsync("update check_history set note = 'for 2026-05-01' where action = 'book'"); // As it was written before a booking had a column.
        var columns = await EarlierRows.ColumnsAsync(store.Dialect);
        var before = await EarlierRows.DumpAsync(store, columns);

        await store.Database.PrepareAsync(Cancel);

        Assert.Equal(From(before), From(await EarlierRows.DumpAsync(store, columns)));
        Assert.Equal(From([]), From((await StoreCheck.RunAsync(store.Dialect, Cancel)).Faults));
        Assert.Equal(From(schema), From(await EarlierRows.SchemaAsync(store)));
        Assert.Equal(From([steps < 6 ? "2026-05-01" : "2026-11-25"]), From(await store.ListAsync("select booked_on from check_history where action = 'book'")));

        List<string> From(IEnumerable<string> lines) => [$"from {Migrator.Scripts[steps - 1].Name}", .. lines];
    }
}
