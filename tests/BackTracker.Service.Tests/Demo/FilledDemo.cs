using BackTracker.Service.Demo;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;

namespace BackTracker.Service.Tests.Demo;

/// <summary>The demo, lived through once up to a fixed day and then served: every test reads the same eighteen months.</summary>
public sealed class FilledDemo : IAsyncLifetime
{
    public static readonly DateOnly Today = new(2026, 11, 25);
    private TestStore _store = null!;
    private WebApplication _app = null!;

    internal ApiClient Api { get; private set; } = null!;

    /// <summary>Where it is served.</summary>
    internal string Address => _app.Urls.First();

    /// <summary>Secret of a key of the demo's administrator.</summary>
    internal string Secret { get; private set; } = "";

    internal Database Database => _app.Services.GetRequiredService<Database>();

    internal T Service<T>() where T : notnull => _app.Services.GetRequiredService<T>();

    public async ValueTask InitializeAsync()
    {
        var cancel = TestContext.Current.CancellationToken;
        _store = await TestStore.CreateAsync(StoreKind.Sqlite);
        var options = new ServeOptions { DataFolder = _store.Folder, Port = 0, Role = ServiceRole.Api, Settings = new() };
        await DemoYard.FillAsync(options, Today, cancel);
        _app = ServiceHost.Build(options, new FakeTimeProvider(new DateTimeOffset(Today, new TimeOnly(9, 0), TimeSpan.Zero)));
        await Database.PrepareAsync(cancel);
        await _app.StartAsync(cancel);
        (_, Secret) = await DemoYard.MakeKeyAsync(Database, "tests", cancel);
        var http = new HttpClient { BaseAddress = new Uri(_app.Urls.First()) };
        http.DefaultRequestHeaders.Authorization = new("Bearer", Secret);
        Api = new ApiClient(http);
    }

    public async ValueTask DisposeAsync()
    {
        await _app.StopAsync();
        await _app.DisposeAsync();
        await _store.DisposeAsync();
    }
}

/// <summary>Filling takes its time: those who read the demo share one.</summary>
[CollectionDefinition(Name)]
public sealed class DemoReaders : ICollectionFixture<FilledDemo>
{
    public const string Name = "demo";
}
