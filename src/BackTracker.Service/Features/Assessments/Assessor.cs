using System.Data.Common;
using System.Diagnostics;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Commissions;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Http;
using BackTracker.Service.Observability;
using BackTracker.Storage;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Assessments;

/// <summary>What came of one turn at the queue.</summary>
/// <param name="Assessed">Horses assessed.</param>
/// <param name="Stored">Assessments that were worth storing.</param>
/// <param name="Failed">Horses put off because their assessment failed.</param>
internal readonly record struct DrainResult(int Assessed, int Stored, int Failed)
{
    public static DrainResult operator +(DrainResult a, DrainResult b) => new(a.Assessed + b.Assessed, a.Stored + b.Stored, a.Failed + b.Failed);
}

/// <summary>
/// Assesses the horses in the work queue: loads the facts, lets the engine decide, saves what it decided. A horse whose facts change
/// while it is being assessed stays in the queue and is assessed again; what was worked out meanwhile is thrown away.
/// </summary>
internal sealed partial class Assessor(Database database, TimeProvider clock, CheckPolicy policy, AlertPolicy alertPolicy, ILogger<Assessor> log)
{
    public const string Actor = "assessor";
    private const int BatchSize = 64;
    private const int HorsesOfAProcessor = 4;

    /// <summary>Works until nobody waits.</summary>
    public Task<DrainResult> DrainAsync(CancellationToken cancel) => DrainAsync(_ => { }, cancel);

    /// <summary>The same, telling how far it is after every batch.</summary>
    public async Task<DrainResult> DrainAsync(Action<DrainResult> tell, CancellationToken cancel)
    {
        var total = default(DrainResult);
        while (true)
        {
            IReadOnlyList<QueuedHorse> batch;
            await using (var session = await database.ReadAsync(cancel))
                batch = [.. (await WorkQueueStore.NextAsync(session, clock.GetUtcNow(), BatchSize)).OrderBy(queued => queued.HorseId, StringComparer.Ordinal)];
            if (batch.Count == 0)
                return total;
            tell(total += await AssessAsync(batch, cancel));
        }
    }

    /// <summary>Of a server's answers each horse waits for dozens, and leaves the processor to others meanwhile.</summary>
    private int AtOnce => Environment.ProcessorCount * (database.Dialect.WorksAtOnce ? 1 : HorsesOfAProcessor);

    private async Task<DrainResult> AssessAsync(IReadOnlyList<QueuedHorse> batch, CancellationToken cancel)
    {
        var results = new Result[batch.Count];
        await Parallel.ForAsync(0, batch.Count, new ParallelOptions { MaxDegreeOfParallelism = AtOnce, CancellationToken = cancel }, async (i, token) => results[i] = new Result(batch[i], await TryAssessAsync(batch[i], token)));
        return await TrySaveAsync(results, cancel);
    }

    /// <summary>Saves a batch at once; where that fails, one by one, and puts off those that fail: one horse must not hold up the others.</summary>
    private async Task<DrainResult> TrySaveAsync(IReadOnlyList<Result> results, CancellationToken cancel)
    {
        try
        {
            return await database.ChangeAsync(Actor, session => SaveAsync(session, results), cancel);
        }
        catch (Exception error) when (error is not OperationCanceledException)
        {
            if (results is [var (queued, _)])
            {
                if (IsOfTheStore(error))
                    throw;
                LogFailure(error, queued.HorseId);
                return await database.ChangeAsync(Actor, session => SaveAsync(session, [new Result(queued, null)]), cancel);
            }
            LogBatch(error);
        }
        var total = default(DrainResult);
        foreach (var result in results)
            total += await TrySaveAsync([result], cancel);
        return total;
    }

    private async Task<DrainResult> SaveAsync(WriteSession session, IReadOnlyList<Result> results)
    {
        // All their yards are held at the start and in one order, so that two assessors do not wait for each other.
        foreach (var yardId in results.Select(result => result.Outcome?.Loaded.Inputs.Yard.Id).OfType<string>().Distinct().Order(StringComparer.Ordinal))
            await YardStore.HoldAsync(session, yardId);
        var alerts = new AlertKeeper(session, alertPolicy);
        var total = default(DrainResult);
        foreach (var (queued, outcome) in results)
            total += await SaveAsync(session, queued, outcome, alerts);
        await alerts.TellAsync();
        return total;
    }

    /// <summary>Null where the assessment failed: one horse must not hold up the others.</summary>
    private async Task<Outcome?> TryAssessAsync(QueuedHorse queued, CancellationToken cancel)
    {
        var began = Stopwatch.GetTimestamp();
        try
        {
            await using var session = await database.ReadAsync(cancel);
            var loaded = await HorseFactsLoader.LoadAsync(session, queued.HorseId, policy);
            var today = Yards.YardTime.Day(loaded.TimeZone, clock.GetUtcNow());
            var assessment = HorseAssessment.Assess(loaded.Facts, loaded.Policy, loaded.Model, today);
            var outcome = new Outcome(loaded, assessment, await CommissionWatch.LookAsync(session, loaded, assessment));
            Measured.Assessment(Stopwatch.GetElapsedTime(began), "assessed");
            return outcome;
        }
        catch (Exception error) when (error is not OperationCanceledException && !IsOfTheStore(error))
        {
            LogFailure(error, queued.HorseId);
            Measured.Assessment(Stopwatch.GetElapsedTime(began), "failed");
            return null;
        }
    }

    /// <summary>True where nothing is wrong with a horse, but the store was away: nobody is put off for that, and the next turn, in a second, tries again.</summary>
    private bool IsOfTheStore(Exception error) => error is StorageException || (error is DbException refused && database.Dialect.IsOutOfOrder(refused));

    private static async Task<DrainResult> SaveAsync(WriteSession session, QueuedHorse queued, Outcome? outcome, AlertKeeper alerts)
    {
        if (outcome is null)
        {
            await WorkQueueStore.PutOffAsync(session, queued);
            return new DrainResult(0, 0, 1);
        }
        if (!await WorkQueueStore.RemoveAsync(session, queued))
            return default; // The facts changed meanwhile: it is still in the queue and comes round again.
        var stored = await StoreAsync(session, outcome);
        // Days pass without anything else happening: a check is due or overdue, a booking too late.
        await CheckEvents.AddDueAsync(session, queued.HorseId, outcome.Assessment.Today);
        await alerts.KeepAsync(outcome.Loaded, outcome.Assessment);
        await CommissionWatch.KeepAsync(session, outcome.Commissions, outcome.Assessment.Today);
        return new DrainResult(1, stored, 0);
    }

    /// <summary>Stores an assessment and carries out what it decided; returns how many were worth storing.</summary>
    private static async Task<int> StoreAsync(WriteSession session, Outcome outcome)
    {
        var signature = outcome.Loaded.Inputs.SignatureWith(outcome.Assessment);
        if (signature == outcome.Loaded.Last?.Signature && outcome.Assessment.Decisions.Count == 0)
            return 0;
        var row = new AssessmentRow
        {
            Id = session.NewId(),
            HorseId = outcome.Loaded.Facts.HorseId,
            AssessedOn = Instants.WriteDay(outcome.Assessment.Today),
            EngineVersion = outcome.Assessment.EngineVersion,
            Inputs = Json.Write(outcome.Loaded.Inputs),
            Outputs = Json.Write(AssessmentDocument.Of(outcome.Assessment)),
            Signature = signature,
            CreatedAt = session.NowText,
        };
        await AssessmentStore.AddAsync(session, row);
        await FitEvents.AddAsync(session, outcome.Loaded, outcome.Assessment, row.Id);
        await Decisions.CarryOutAsync(session, row, outcome.Loaded, outcome.Assessment);
        return 1;
    }

    [LoggerMessage(Level = LogLevel.Error, Message = "Assessing horse {HorseId} failed; it is tried again in five minutes")]
    private partial void LogFailure(Exception error, string horseId);

    [LoggerMessage(Level = LogLevel.Warning, Message = "Assessments could not be saved together; they are saved one by one")]
    private partial void LogBatch(Exception error);

    private sealed record Result(QueuedHorse Queued, Outcome? Outcome);

    private sealed record Outcome(LoadedHorse Loaded, Assessment Assessment, IReadOnlyList<WatchedCommission> Commissions);
}
