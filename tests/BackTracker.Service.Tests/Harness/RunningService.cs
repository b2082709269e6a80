using System.Net.Http.Headers;
using BackTracker.Service.Features.Keys;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Service.Jobs;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Time.Testing;

namespace BackTracker.Service.Tests.Harness;

/// <summary>The real service on a real port with a database of its own, and a clock the test holds.</summary>
internal sealed class RunningService : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly TestStore _store;
    private readonly List<WebApplication> _more = [];

    private RunningService(WebApplication app, TestStore store, FakeTimeProvider clock, string adminKey)
    {
        _app = app;
        _store = store;
        Clock = clock;
        AdminKey = adminKey;
        Admin = ClientFor(adminKey);
    }

    public FakeTimeProvider Clock { get; }

    /// <summary>Secret of a key that may do everything everywhere.</summary>
    public string AdminKey { get; }

    public ApiClient Admin { get; }

    /// <summary>Looks over every answer from the moment it is set.</summary>
    public ContractWatch? Contract { get; set; }

    /// <summary>Where it listens.</summary>
    public string Address => _app.Urls.First();

    public Database Database => _app.Services.GetRequiredService<Database>();

    public IServiceProvider Services => _app.Services;

    public static async Task<RunningService> StartAsync(
        StoreKind kind = StoreKind.Sqlite, string now = "2026-11-25T09:00:00Z", ServiceRole role = ServiceRole.All, Settings? settings = null, Transport? transport = null)
    {
        var store = await TestStore.CreateAsync(kind);
        var clock = new FakeTimeProvider(DateTimeOffset.Parse(now, System.Globalization.CultureInfo.InvariantCulture));
        var app = await ServeAsync(store, clock, role, settings ?? new() { Backups = new() { Nightly = false } }, transport ?? new());
        return new RunningService(app, store, clock, await MakeAdminKeyAsync(app));
    }

    /// <summary>Another one on the same store and clock: an instance beside this one, or what follows it once this one was stopped. Ends with this one.</summary>
    public async Task<RunningService> AgainAsync(Settings settings, ServiceRole role = ServiceRole.All)
    {
        var app = await ServeAsync(_store, Clock, role, settings, new());
        _more.Add(app);
        return new RunningService(app, _store, Clock, AdminKey);
    }

    /// <summary>Tells it to end, and waits until it has.</summary>
    public Task StopAsync() => _app.StopAsync();

    private static async Task<WebApplication> ServeAsync(TestStore store, FakeTimeProvider clock, ServiceRole role, Settings settings, Transport transport)
    {
        var app = ServiceHost.Build(new ServeOptions { DataFolder = store.Folder, Database = store.Connection, Port = 0, Transport = transport, Role = role, Settings = settings }, clock);
        await app.Services.GetRequiredService<Database>().PrepareAsync(TestContext.Current.CancellationToken);
        await app.StartAsync(TestContext.Current.CancellationToken);
        return app;
    }

    /// <summary>Waits until the service itself has assessed everybody who waits.</summary>
    public Task SettledAsync(int withinSeconds = 30) => Eventually.TrueAsync(async () =>
    {
        await using var session = await Database.ReadAsync(TestContext.Current.CancellationToken);
        return await WorkQueueStore.CountAsync(session) == 0;
    }, () => "Horses still wait to be assessed.", withinSeconds);

    /// <summary>Lets days pass, with the last night's round, and waits until everybody is assessed.</summary>
    public async Task PassDaysAsync(int days)
    {
        Clock.Advance(TimeSpan.FromDays(days));
        await Services.GetRequiredService<NightlyRound>().RunAsync(TestContext.Current.CancellationToken);
        await SettledAsync();
    }

    public ApiClient ClientFor(string secret)
    {
        var http = new HttpClient(new Watched(this)) { BaseAddress = new Uri(_app.Urls.First()) };
        http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", secret);
        return new ApiClient(http);
    }

    private static async Task<string> MakeAdminKeyAsync(WebApplication app)
    {
        await using var session = await app.Services.GetRequiredService<Database>().WriteAsync("test", TestContext.Current.CancellationToken);
        var (_, secret) = await KeyMaker.MakeAsync(session, new KeyRequest { Name = "tests", Scopes = [Scope.Admin] });
        await session.CommitAsync();
        return secret;
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var app in _more.Prepend(_app))
        {
            await app.StopAsync();
            await app.DisposeAsync();
        }
        await _store.DisposeAsync();
    }

    private sealed class Watched(RunningService service) : DelegatingHandler(new SocketsHttpHandler())
    {
        protected override async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
        {
            var answer = await base.SendAsync(request, cancellationToken);
            if (service.Contract is { } contract)
                await contract.LookAsync(answer, cancellationToken);
            return answer;
        }
    }
}
