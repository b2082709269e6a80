using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Tests.Harness;

namespace BackTracker.Storage.Tests.Backup;

public sealed class StoreCheckTests
{
    private static readonly CancellationToken Cancel = CancellationToken.None;

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Run_soundStore_countsRowsAndFindsNothing(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);

        var report = await StoreCheck.RunAsync(store.Dialect, Cancel);

        Assert.Empty(report.Faults);
        Assert.Equal(StoreTables.InOrder, report.Rows.Keys);
        Assert.Equal(2, report.Rows["horses"]);
    }

    [Theory]
    [InlineData("update yards set created_at = 'yesterday'", "created_at is no instant")]
    [InlineData("update horses set born_on = '2020-13-01' where name = 'Bramble'", "born_on is no day")]
    [InlineData("update checks set book_by = 'soon'", "book_by is no day")]
    [InlineData("update measurements set body = '{' where corrects is null", "body is no JSON")]
    [InlineData("update assessments set inputs = '{\"yard\":{\"id\":\"0199f6c2-0000-7000-8000-0000000000ff\"}}'", "names 0199f6c2-0000-7000-8000-0000000000ff, which is not there")]
    [InlineData("update checks set horse_id = '" + Larkfield.OtherHorse + "'", "assessment_id belongs to another horse")]
    [InlineData("update audit set id = 'x'", "id is no id")]
    [InlineData("update schema_checksums set checksum = 'x'", "was changed after it had been applied")]
    public async Task Run_plantedFault_isNamedOnBothStores(string sql, string expected)
    {
        foreach (var kind in Enum.GetValues<StoreKind>())
        {
            await using var store = await OpenStore.CreateAsync(kind);
            await Larkfield.FillAsync(store);
            await store.ExecuteAsync(sql);

            var report = await StoreCheck.RunAsync(store.Dialect, Cancel);

            Assert.Contains(report.Faults, f => f.Contains(expected, StringComparison.Ordinal));
        }
    }

    [Theory]
    [InlineData("pragma foreign_keys = off; delete from people", "that is not there")]
    [InlineData("update events set planned = 'perhaps'", "planned holds perhaps, which is not a bigint")]
    [InlineData("drop table audit", "audit: ")]
    public async Task Run_faultThatOnlyAFileCanHave_isNamed(string sql, string expected)
    {
        await using var store = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(store);
        await store.ExecuteAsync(sql);

        var report = await StoreCheck.RunAsync(store.Dialect, Cancel);

        Assert.Contains(report.Faults, f => f.Contains(expected, StringComparison.Ordinal));
    }

    [Theory, InlineData(0), InlineData(4096 * 3)]
    public async Task Run_damagedFile_isToldInWords(long at)
    {
        await using var store = await OpenStore.CreateAsync(StoreKind.Sqlite);
        await Larkfield.FillAsync(store);
        var file = Path.Combine(store.Folder, "backup.db");
        await BackupFile.WriteAsync(store.Dialect, file, Cancel);
        Damage.Overwrite(file, at);

        var report = await StoreCheck.RunAsync(SqliteDialect.ReadOnly(file), Cancel);

        Assert.NotEmpty(report.Faults);
        Assert.All(report.Faults, f => Assert.DoesNotContain('\n', f));
    }
}
