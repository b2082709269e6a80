using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Priors;
using Quartz;

namespace BackTracker.Service.Jobs;

/// <summary>Empties the work queue.</summary>
[DisallowConcurrentExecution]
internal sealed class AssessJob(Assessor assessor, PendingRun pending) : IJob
{
    public static readonly JobKey Key = new("assess");

    public async ValueTask Execute(IJobExecutionContext context, CancellationToken cancellationToken = default)
    {
        pending.Begun();
        await assessor.DrainAsync(cancellationToken);
    }
}

/// <summary>Sees whether some yard's night has come.</summary>
[DisallowConcurrentExecution]
internal sealed class NightlyJob(NightlyRound round) : IJob
{
    public static readonly JobKey Key = new("nightly");

    public async ValueTask Execute(IJobExecutionContext context, CancellationToken cancellationToken = default) =>
        await round.RunAsync(cancellationToken);
}

/// <summary>Sees whether it is time to learn over horses.</summary>
[DisallowConcurrentExecution]
internal sealed class PriorJob(PriorLearner learner) : IJob
{
    public static readonly JobKey Key = new("priors");

    public async ValueTask Execute(IJobExecutionContext context, CancellationToken cancellationToken = default) =>
        await learner.LookAsync(cancellationToken);
}

/// <summary>Sees whether it is time for the backup of the night.</summary>
[DisallowConcurrentExecution]
internal sealed class BackupJob(BackupRound round) : IJob
{
    public static readonly JobKey Key = new("backup");

    public async ValueTask Execute(IJobExecutionContext context, CancellationToken cancellationToken = default) =>
        await round.LookAsync(cancellationToken);
}

/// <summary>Sees whether some yard's night has ended, or its daily letter is to be written.</summary>
[DisallowConcurrentExecution]
internal sealed class TellJob(MorningRound morning, DigestRound digest) : IJob
{
    public static readonly JobKey Key = new("tell");

    public async ValueTask Execute(IJobExecutionContext context, CancellationToken cancellationToken = default)
    {
        await morning.RunAsync(cancellationToken);
        await digest.RunAsync(cancellationToken);
    }
}
