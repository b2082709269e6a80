using BackTracker.Service.Hosting;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Backup;
using BackTracker.Storage.Dialects;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Jobs;

public sealed class BackupRoundTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-backups-").FullName;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    private BackupFolder Backups => new(Path.Combine(_folder, "kept"));

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Look_everyNight_keepsWhatIsRestored_andTriesItOnceAWeek(StoreKind kind)
    {
        await using var service = await StartAsync(kind);
        Assert.Equal(BackupOutcome.NotDue, await LookAsync(service));
        var yard = await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });

        var outcomes = new List<BackupOutcome> { await LookAsync(service), await LookAsync(service) };
        for (var night = 1; night <= 8; night++)
        {
            service.Clock.Advance(TimeSpan.FromDays(1));
            outcomes.Add(await LookAsync(service));
        }

        Assert.Equal(
            [BackupOutcome.Tried, BackupOutcome.NotDue, .. Enumerable.Repeat(BackupOutcome.Made, 6), BackupOutcome.Tried, BackupOutcome.Made], outcomes);
        Assert.Equal(Enumerable.Range(25, 6).Select(day => new DateOnly(2026, 11, day)), Backups.Nights.Take(6));
        await using var file = SqliteDialect.ReadOnly(Backups.FileOf(new DateOnly(2026, 11, 25)));
        var report = await StoreCheck.RunAsync(file, Cancel);
        Assert.Empty(report.Faults);
        Assert.Equal(1, report.Rows["yards"]);
        Assert.Equal(9, Directory.EnumerateFileSystemEntries(Path.Combine(_folder, "kept")).Count()); // Nothing of the tries is left.
        Assert.Equal("Larkfield", (await service.Admin.GetAsync($"/v1/yards/{yard}"))["name"]!.GetValue<string>());
    }

    [Fact]
    public async Task Look_afterNightsOfDowntime_makesUpForTheLast()
    {
        await using var service = await StartAsync(StoreKind.Sqlite);
        await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        await LookAsync(service);

        service.Clock.Advance(TimeSpan.FromDays(3) - TimeSpan.FromHours(8)); // 01:00 on the 28th: the night of the 27th has come, that of the 28th has not.
        Assert.Equal(BackupOutcome.Made, await LookAsync(service));
        service.Clock.Advance(TimeSpan.FromMinutes(29));
        Assert.Equal(BackupOutcome.NotDue, await LookAsync(service));
        service.Clock.Advance(TimeSpan.FromMinutes(1));
        Assert.Equal(BackupOutcome.Made, await LookAsync(service));

        Assert.Equal([25, 27, 28], Backups.Nights.Select(night => night.Day));
    }

    [Fact]
    public async Task Look_whereTheFolderCannotBe_failsAndTriesAgain()
    {
        await using var service = await StartAsync(StoreKind.Sqlite);
        await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        var inTheWay = Path.Combine(_folder, "kept");
        await File.WriteAllTextAsync(inTheWay, "", Cancel);

        Assert.Equal(BackupOutcome.Failed, await LookAsync(service));
        File.Delete(inTheWay);

        Assert.Equal(BackupOutcome.Tried, await LookAsync(service));
    }

    [Fact]
    public async Task Look_whereTheBackupCannotBeRestored_saysSo_andTriesTheNext()
    {
        await using var service = await StartAsync(StoreKind.Sqlite);
        await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        Directory.CreateDirectory(Path.Combine(_folder, "kept"));
        await File.WriteAllTextAsync(Backups.FileOf(new DateOnly(2026, 11, 25)), new string('x', 9000), Cancel);

        Assert.Equal(BackupOutcome.Unsound, await LookAsync(service));
        service.Clock.Advance(TimeSpan.FromDays(1));

        Assert.Equal(BackupOutcome.Tried, await LookAsync(service));
    }

    private Task<RunningService> StartAsync(StoreKind kind) =>
        RunningService.StartAsync(kind, role: ServiceRole.Api, settings: new() { Backups = new() { Folder = Path.Combine(_folder, "kept") } });

    private static Task<BackupOutcome> LookAsync(RunningService service) => service.Services.GetRequiredService<BackupRound>().LookAsync(Cancel);
}
