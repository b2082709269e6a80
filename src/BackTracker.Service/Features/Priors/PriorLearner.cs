using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Priors;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Settings;

namespace BackTracker.Service.Features.Priors;

/// <summary>What came of an attempt to learn.</summary>
/// <param name="Learned">What was learned, or looked for in vain.</param>
/// <param name="Number">Number of the round; 0 where nothing was learned and nothing kept.</param>
/// <param name="NotBefore">First day on which it may be tried; null where it was tried.</param>
internal sealed record PriorOutcome(LearnedPriors Learned, long Number, DateOnly? NotBefore);

/// <summary>
/// Learns priors over the horses of all yards, once a year at most: a prior that moves from month to month would have forecasts of one horse move because of
/// another. What it keeps are pooled numbers.
/// </summary>
internal sealed class PriorLearner(Database database, TimeProvider clock, CheckPolicy policy)
{
    /// <summary>Days from one round to the next, at least.</summary>
    public const int LeastDays = 365;

    /// <summary>Days after which a look that taught nothing is taken again.</summary>
    public const int LookAgainDays = 28;

    private const string LookedOn = "priors-looked-on";
    private const int HorsesAtATime = 100;

    private DateOnly Today => DateOnly.FromDateTime(clock.GetUtcNow().UtcDateTime);

    /// <summary>Looks whether it is time to learn, and learns.</summary>
    /// <returns>Number of the round; 0 where it was not time, or nothing was learned.</returns>
    public async Task<long> LookAsync(CancellationToken cancel)
    {
        await using (var session = await database.ReadAsync(cancel))
        {
            if (await NotBeforeAsync(session) is not null || await HasLookedAsync(session) || !await MayTeachAsync(session))
                return 0;
        }
        await database.ChangeAsync("priors", async session =>
        {
            await SettingStore.SetAsync(session, LookedOn, Instants.WriteDay(Today));
            return 0;
        }, cancel);
        return (await LearnAsync("priors", cancel)).Number;
    }

    /// <summary>Learns, unless it is too soon.</summary>
    /// <param name="actor">Who asks.</param>
    /// <param name="cancel">Ends it between two horses.</param>
    public async Task<PriorOutcome> LearnAsync(string actor, CancellationToken cancel)
    {
        long number;
        await using (var session = await database.ReadAsync(cancel))
        {
            if (await NotBeforeAsync(session) is { } day)
                return new PriorOutcome(LearnedPriors.None, 0, day);
            number = 1 + ((await PriorStore.LatestAsync(session))?.Number ?? 0);
        }
        var learned = (await StudyAsync(cancel)).Learn($"learned-{number}-{Instants.WriteDay(Today)}");
        if (learned.IsEmpty())
            return new PriorOutcome(learned, 0, null);
        await database.ChangeAsync(actor, session => KeepAsync(session, number, learned), cancel);
        return new PriorOutcome(learned, number, null);
    }

    private async Task<long> KeepAsync(WriteSession session, long number, LearnedPriors learned)
    {
        var row = new PriorRow
        {
            Id = session.NewId(),
            Number = number,
            LearnedOn = Instants.WriteDay(Today),
            EngineVersion = HorseAssessment.EngineVersion,
            Horses = learned.Horses,
            Body = Json.Write(learned),
            CreatedAt = session.NowText,
        };
        await PriorStore.AddAsync(session, row);
        await AuditStore.NoteAsync(session, "create", "priors", row.Id);
        return number;
    }

    private async Task<PriorStudy> StudyAsync(CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var study = new PriorStudy(TrendModel.Shipped);
        for (var after = ""; after is not null;)
        {
            var page = await HorseStore.ListAsync(session, Sight.All, null, null, new Page(after, HorsesAtATime));
            foreach (var horse in page.Items)
            {
                cancel.ThrowIfCancellationRequested();
                study.Add((await HorseFactsLoader.LoadAsync(session, horse.Id, policy)).Facts.AsOf(Today));
            }
            after = page.NextAfter;
        }
        return study;
    }

    private async Task<DateOnly?> NotBeforeAsync(ReadSession session)
    {
        var next = Instants.ReadDayIfAny((await PriorStore.LatestAsync(session))?.LearnedOn)?.AddDays(LeastDays);
        return next > Today ? next : null;
    }

    private async Task<bool> HasLookedAsync(ReadSession session) =>
        Instants.ReadDayIfAny(await SettingStore.FindAsync(session, LookedOn))?.AddDays(LookAgainDays) > Today;

    private static async Task<bool> MayTeachAsync(ReadSession session) =>
        (await HorseStore.ListAsync(session, Sight.All, null, null, new Page("", PriorStudy.LeastHorses))).Items.Count == PriorStudy.LeastHorses;
}
