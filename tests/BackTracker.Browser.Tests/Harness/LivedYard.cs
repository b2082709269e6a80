using BackTracker.Service.Demo;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;

namespace BackTracker.Browser.Tests.Harness;

/// <summary>A service of its own whose days pass when the test says so.</summary>
internal sealed class LivedYard : IAsyncDisposable
{
    private readonly TestStore _store;
    private readonly WebApplication _app;
    private readonly FakeTimeProvider _clock;

    private LivedYard(TestStore store, WebApplication app, FakeTimeProvider clock, string secret)
    {
        (_store, _app, _clock, Secret) = (store, app, clock, secret);
        var http = new HttpClient { BaseAddress = new Uri(Address) };
        http.DefaultRequestHeaders.Authorization = new("Bearer", secret);
        Api = new ApiClient(http);
    }

    public ApiClient Api { get; }

    public string Address => _app.Urls.First();

    /// <summary>Secret of its administrator's key.</summary>
    public string Secret { get; }

    public DateOnly Today => DateOnly.FromDateTime(_clock.GetUtcNow().UtcDateTime);

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public static async Task<LivedYard> BeginAsync(string now)
    {
        var store = await TestStore.CreateAsync(StoreKind.Sqlite);
        var clock = new FakeTimeProvider(DateTimeOffset.Parse(now, System.Globalization.CultureInfo.InvariantCulture));
        var app = ServiceHost.Build(new ServeOptions { DataFolder = store.Folder, Port = 0, Role = ServiceRole.Api, Settings = new() }, clock);
        var database = app.Services.GetRequiredService<Database>();
        await database.PrepareAsync(Cancel);
        await app.StartAsync(Cancel);
        return new LivedYard(store, app, clock, (await DemoYard.MakeKeyAsync(database, "tests", Cancel)).Secret);
    }

    /// <summary>Lets days pass, with the last night's round, and assesses everybody who waits.</summary>
    public async Task PassAsync(int days)
    {
        _clock.Advance(TimeSpan.FromDays(days));
        await _app.Services.GetRequiredService<NightlyRound>().RunAsync(Cancel);
        await AssessAsync();
    }

    public Task AssessAsync() => _app.Services.GetRequiredService<Assessor>().DrainAsync(Cancel);

    public async ValueTask DisposeAsync()
    {
        await _app.StopAsync();
        await _app.DisposeAsync();
        await _store.DisposeAsync();
    }
}
