using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Years;

using Content = IReadOnlyDictionary<string, IReadOnlyList<string>>;

/// <summary>The year, lived once for all tests that look at it.</summary>
public sealed class LivedYear : IAsyncLifetime
{
    private const int HorsesAYard = 50;
    private static readonly int[] Quarters = [92, 92, 92, 90];

    internal IReadOnlyList<CheckLived> Checks { get; private set; } = [];

    /// <summary>Causes of every check that was ever open.</summary>
    internal HashSet<string> Causes { get; } = [];

    /// <summary>The store before and after assessing every horse once more, at the end of each quarter.</summary>
    internal List<(Content Before, Content After)> AssessedAgain { get; } = [];

    /// <summary>Checks that were wanted at the end of a quarter and not there.</summary>
    internal List<string> Lost { get; } = [];

    /// <summary>What the store holds that must not be there, by what it is.</summary>
    internal Dictionary<string, IReadOnlyList<string[]>> Wrong { get; } = [];

    /// <summary>How much was told, by what it is.</summary>
    internal Dictionary<string, IReadOnlyList<string[]>> Told { get; } = [];

    public async ValueTask InitializeAsync()
    {
        await using var run = await YearRun.StartAsync(HorsesAYard);
        foreach (var days in Quarters)
        {
            await run.PassAsync(days);
            await run.AssessAllAgainAsync(); // In some yards a day has begun whose night's round is still to come.
            var before = await StoreContent.ReadAsync(run.Service);
            await run.AssessAllAgainAsync();
            AssessedAgain.Add((before, await StoreContent.ReadAsync(run.Service)));
            foreach (var horse in run.Yards.SelectMany(yard => yard.Horses))
                await LookForLostAsync(run.Service, horse);
        }
        Checks = await CheckLived.OfAsync(run.Service, run.Yards.SelectMany(yard => yard.Horses));
        foreach (var (what, sql) in YearQuestions.Wrong)
            Wrong.Add(what, await YearRecords.ReadAsync(run.Service, sql));
        foreach (var (what, sql) in YearQuestions.Told)
            Told.Add(what, await YearRecords.ReadAsync(run.Service, sql));
        Causes.UnionWith(Checks.SelectMany(check => check.Reasons).Select(reason => Words.Write(reason.Cause)));
        foreach (var yard in run.Yards)
            Causes.UnionWith(yard.CausesSeen);
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    private async Task LookForLostAsync(RunningService service, YearHorse horse)
    {
        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        var policy = new CheckPolicy();
        var loaded = await HorseFactsLoader.LoadAsync(session, horse.Id, policy);
        var today = YardTime.Day(loaded.TimeZone, service.Clock.GetUtcNow());
        var alive = loaded.Facts.Checks.Where(check => check.State is CheckState.Open or CheckState.Booked).Select(check => (check.Kind, check.PairingId)).ToHashSet();
        var declined = loaded.Facts.Checks.Where(check => check.DroppedByPersonOn > today.AddDays(-policy.DroppedQuietDays)).Select(check => (check.Kind, check.PairingId)).ToHashSet();
        foreach (var want in HorseAssessment.Assess(loaded.Facts, policy, loaded.Model, today).Wanted)
            if (want.NoticeOn <= today && !alive.Contains((want.Kind, want.PairingId)) && !declined.Contains((want.Kind, want.PairingId)))
                Lost.Add($"{horse.Name}: {want.Kind} since {want.NoticeOn}: {want.Reasons[0].Text}");
    }
}
