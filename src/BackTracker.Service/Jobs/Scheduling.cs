using BackTracker.Service.Features.Priors;
using BackTracker.Service.Hosting;
using Microsoft.Data.Sqlite;
using Quartz;

namespace BackTracker.Service.Jobs;

/// <summary>
/// The jobs and their persistent store: a file of its own beside the data on SQLite, so that scheduling and recording do not wait for each
/// other; the same database on PostgreSQL.
/// </summary>
internal static class Scheduling
{
    private static readonly TimeSpan NightlyLookEvery = TimeSpan.FromMinutes(15);
    private static readonly TimeSpan BackupLookEvery = TimeSpan.FromMinutes(15);
    private static readonly TimeSpan TellLookEvery = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan PriorLookEvery = TimeSpan.FromHours(6);

    private static readonly TriggerKey Nightly = new("nightly");
    private static readonly TriggerKey Tell = new("tell");
    private static readonly TriggerKey Priors = new("priors");
    private static readonly TriggerKey Backup = new("backup");

    /// <summary>What looks now and then whether something is due.</summary>
    public static IReadOnlyList<TriggerKey> Rounds { get; } = [Nightly, Tell, Priors, Backup];

    public static IServiceCollection AddJobs(this IServiceCollection services, ServeOptions options, TimeProvider clock)
    {
        services.AddSingleton<ChangeSignal>();
        services.AddSingleton<PendingRun>();
        services.AddSingleton<EachYard>();
        services.AddSingleton<NightlyRound>();
        services.AddSingleton<DigestRound>();
        services.AddSingleton<MorningRound>();
        services.AddSingleton<PriorLearner>();
        services.AddSingleton<BackupRound>();
        if (!options.Role.Works())
            return services;
        services.AddQuartz(quartz =>
        {
            quartz.UseTimeProvider(clock);
            quartz.UsePersistentStore(store => UseStore(store, options));
            quartz.AddJob<AssessJob>(job => job.WithIdentity(AssessJob.Key).StoreDurably().RequestRecovery());
            quartz.AddJob<NightlyJob>(job => job.WithIdentity(NightlyJob.Key).StoreDurably().RequestRecovery());
            quartz.AddTrigger(trigger => trigger.ForJob(NightlyJob.Key).WithIdentity(Nightly)
                .WithSchedule(Every(NightlyLookEvery)));
            quartz.AddJob<TellJob>(job => job.WithIdentity(TellJob.Key).StoreDurably().RequestRecovery());
            quartz.AddTrigger(trigger => trigger.ForJob(TellJob.Key).WithIdentity(Tell)
                .WithSchedule(Every(TellLookEvery)));
            quartz.AddJob<PriorJob>(job => job.WithIdentity(PriorJob.Key).StoreDurably().RequestRecovery());
            quartz.AddTrigger(trigger => trigger.ForJob(PriorJob.Key).WithIdentity(Priors)
                .WithSchedule(Every(PriorLookEvery)));
            quartz.AddJob<BackupJob>(job => job.WithIdentity(BackupJob.Key).StoreDurably().RequestRecovery());
            quartz.AddTrigger(trigger => trigger.ForJob(BackupJob.Key).WithIdentity(Backup)
                .WithSchedule(Every(BackupLookEvery)));
        });
        services.AddQuartzHostedService(hosted => hosted.WaitForJobsToComplete = true);
        // After the scheduler, so that they stop before it.
        services.AddHostedService<QueueWatch>();
        services.AddHostedService<ClockWatch>();
        return services;
    }

    // One that was missed, on a machine that slept or was too busy, is made up for at once.
    private static SimpleScheduleBuilder Every(TimeSpan interval) =>
        SimpleScheduleBuilder.Create().WithInterval(interval).RepeatForever().WithMisfireInstruction(SimpleTriggerMisfireInstruction.NowWithExistingCount);

    private static void UseStore(IPersistentStoreBuilder store, ServeOptions options)
    {
        store.ProvisionSchema();
        store.UseSystemTextJsonSerializer();
        if (options.Database is { } postgres)
        {
            store.UsePostgres(postgres);
            store.UseClustering(); // Several instances may share it, each under an id of its own.
        }
        else
            store.UseSqlite(new SqliteConnectionStringBuilder { DataSource = Path.Combine(options.DataFolder, "jobs.db") }.ToString());
    }
}
