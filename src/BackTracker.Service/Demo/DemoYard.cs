using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Keys;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Settings;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Demo;

/// <summary>
/// Fills an empty store with the demo by living through its eighteen months day by day: the service runs on a replayed clock and the
/// demo's people use it over HTTP, so that every record, check and assessment came about as a real one does.
/// </summary>
internal static class DemoYard
{
    private const string Setting = "demo";
    private const string Filling = "filling";
    private const string Filled = "larkfield";

    /// <summary>Fills the store unless it holds the demo already.</summary>
    /// <exception cref="StorageException">The store holds something else, or an earlier fill was cut short.</exception>
    public static async Task FillAsync(ServeOptions options, DateOnly today, CancellationToken cancel)
    {
        var clock = new ReplayClock(new DateTimeOffset(today.AddDays(DemoHerd.FirstDay), new TimeOnly(7, 0), TimeSpan.Zero));
        await using var app = ServiceHost.Build(options with { Port = 0, Transport = new(), Settings = options.Settings with { Limits = new(), Metrics = new() }, Role = ServiceRole.Api }, clock);
        var database = app.Services.GetRequiredService<Database>();
        await database.PrepareAsync(cancel);
        if (!await BeginAsync(database, cancel))
            return;
        var key = await MakeKeyAsync(database, "Demo: the people of the replay", cancel);
        await app.StartAsync(cancel);
        using (var api = new DemoApi(app.Urls.First(), key.Secret))
            await new DemoReplay(api, clock, app.Services.GetRequiredService<Assessor>(), app.Services.GetRequiredService<Jobs.NightlyRound>(), today).RunAsync(cancel);
        await app.StopAsync(cancel);
        await EndAsync(database, key.Id, cancel);
    }

    /// <summary>A new key for whoever looks at the demo.</summary>
    public static async Task<(string Id, string Secret)> MakeKeyAsync(Database database, string name, CancellationToken cancel)
    {
        await using var session = await database.WriteAsync("demo", cancel);
        var (row, secret) = await KeyMaker.MakeAsync(session, new KeyRequest { Name = name, Scopes = [Scope.Admin] });
        await session.CommitAsync();
        return (row.Id, secret);
    }

    private static async Task<bool> BeginAsync(Database database, CancellationToken cancel)
    {
        await using var session = await database.WriteAsync("demo", cancel);
        switch (await SettingStore.FindAsync(session, Setting))
        {
            case Filled:
                return false;
            case Filling:
                throw new StorageException("An earlier start of the demo was cut short, so its data is not whole. Remove the data folder (or empty the database) and start again.");
        }
        if ((await YardStore.AllAsync(session)).Count > 0)
            throw new StorageException("This store holds records that are not the demo's. The demo needs a folder or database of its own: give another --data DIR.");
        await SettingStore.SetAsync(session, Setting, Filling);
        await session.CommitAsync();
        return true;
    }

    private static async Task EndAsync(Database database, string keyId, CancellationToken cancel)
    {
        await using var session = await database.WriteAsync("demo", cancel);
        await Storage.Keys.KeyStore.RevokeAsync(session, keyId);
        await SettingStore.SetAsync(session, Setting, Filled);
        await session.CommitAsync();
    }
}
