using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.WorkQueue;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Years;

/// <summary>
/// Lets a year pass over some yards in steps of six hours: the service's own rounds at each step, the yards' people once a day in the
/// morning. The year holds both changes of daylight saving, a leap day, and yards at UTC+13 and UTC-8.
/// </summary>
internal sealed class YearRun : IAsyncDisposable
{
    private const int StepsADay = 4;
    private readonly Dictionary<YearYard, DateOnly> _acted = [];

    private YearRun(RunningService service) => Service = service;

    public RunningService Service { get; }

    public IReadOnlyList<YearYard> Yards { get; private set; } = [];

    public static async Task<YearRun> StartAsync(int horsesAYard)
    {
        var run = new YearRun(await RunningService.StartAsync(now: "2027-07-01T00:00:00Z", role: ServiceRole.Api));
        string[] zones = ["Europe/London", "Pacific/Auckland", "America/Los_Angeles", "Pacific/Tongatapu"];
        run.Yards = [.. zones.Select((zone, y) => new YearYard(run.Service, zone[(zone.IndexOf('/') + 1)..].Replace('_', ' '), zone, Herd(y * horsesAYard, horsesAYard)))];
        foreach (var yard in run.Yards)
            await yard.SettleAsync();
        return run;
    }

    /// <summary>Lets days pass.</summary>
    public async Task PassAsync(int days)
    {
        for (var step = 0; step < days * StepsADay; step++)
        {
            Service.Clock.Advance(TimeSpan.FromHours(24.0 / StepsADay));
            await RoundsAsync();
            foreach (var yard in Yards)
                await MorningAsync(yard);
            await RoundsAsync();
        }
    }

    /// <summary>What the service does by itself.</summary>
    public async Task RoundsAsync()
    {
        await Service.Services.GetRequiredService<NightlyRound>().RunAsync(TestContext.Current.CancellationToken);
        await DrainAsync();
        await Service.Services.GetRequiredService<MorningRound>().RunAsync(TestContext.Current.CancellationToken);
        await Service.Services.GetRequiredService<DigestRound>().RunAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>Has every horse assessed once more.</summary>
    public async Task AssessAllAgainAsync()
    {
        await using (var session = await Service.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            foreach (var yard in Yards)
                await WorkQueueStore.AddHorsesOfYardAsync(session, yard.Id);
            await session.CommitAsync();
        }
        await DrainAsync();
    }

    public ValueTask DisposeAsync() => Service.DisposeAsync();

    private static IReadOnlyList<YearHorse> Herd(int first, int count) =>
        [.. Enumerable.Range(0, count).Select(i => new YearHorse((YearStory)(i % Enum.GetValues<YearStory>().Length), first + i))];

    private async Task DrainAsync()
    {
        var done = await Service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, done.Failed);
    }

    private async Task MorningAsync(YearYard yard)
    {
        var today = DateOnly.FromDateTime(yard.LocalNow);
        if (yard.LocalNow.Hour is < 6 or >= 12 || _acted.GetValueOrDefault(yard) == today)
            return;
        _acted[yard] = today;
        await yard.MorningAsync();
    }
}
