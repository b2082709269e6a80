using BackTracker.Faults.MixedLoad;
using BackTracker.Service.Tests.Harness;
using Npgsql;

namespace BackTracker.Faults.Postgres;

/// <summary>A yard under load on a PostgreSQL server of its own, served by as many instances as a test starts.</summary>
internal sealed class PostgresYard : IAsyncDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-fault-").FullName;
    private readonly List<ServiceProcess> _services = [];
    private readonly Ledger _ledger;
    private readonly CancellationTokenSource _end = new();
    private string _key = "";
    private LoadYard? _yard;
    private Load? _load;
    private Task _burst = Task.CompletedTask;

    private PostgresYard(OwnPostgres server, Receiver receiver)
    {
        (Server, Receiver) = (server, receiver);
        _ledger = new Ledger(Path.Combine(_folder, "ledger"));
    }

    public OwnPostgres Server { get; }

    public Receiver Receiver { get; }

    private int Acknowledged => _ledger.Acknowledged;

    private int Doubted => _ledger.Unknown;

    /// <summary>How long the longest answer took.</summary>
    public TimeSpan Longest => _load!.Longest;

    public static async Task<PostgresYard> CreateAsync()
    {
        var yard = new PostgresYard(await OwnPostgres.StartNewAsync(), await Receiver.StartAsync());
        yard._key = await ServiceProcess.RunAsync("key", "add", "--data", yard._folder, "--database", yard.Server.Connection, "--name", "faults", "--scopes", "admin");
        return yard;
    }

    /// <summary>Starts one more instance.</summary>
    /// <param name="role">What it does.</param>
    /// <param name="connectionMore">What its connection string says besides.</param>
    public async Task<ServiceProcess> ServeAsync(string role = "all", string connectionMore = "")
    {
        var settings = new Dictionary<string, string>(ServiceProcess.LoopbackAllowed) { ["BackTracker__Backups__Nightly"] = "false" };
        var service = await ServiceProcess.StartAsync(
            Path.Combine(_folder, $"instance-{_services.Count}"), settings, "--role", role, "--database", $"{Server.Connection};{connectionMore}");
        _services.Add(service);
        return service;
    }

    public Client ClientOf(ServiceProcess service) => new(service.Address, _key);

    /// <summary>Registers the yard and everybody in it, and has them write from now on.</summary>
    public async Task LoadAsync(Client client)
    {
        _yard = await LoadYard.SettleAsync(client, Receiver.Url);
        _load = new Load(_yard, _ledger, Environment.TickCount);
        _burst = _load.RunAsync(client, _end.Token);
    }

    /// <summary>Waits until so many more requests were acknowledged.</summary>
    public Task MoreAsync(int requests, string unless)
    {
        var enough = Acknowledged + requests;
        return WhileLoadedAsync(() => Acknowledged >= enough, () => $"{unless} {enough - Acknowledged} of {requests} are missing.");
    }

    /// <summary>Waits until so many more were refused because the store was away.</summary>
    public Task DoubtedAsync(int requests, string unless)
    {
        var enough = Doubted + requests;
        return WhileLoadedAsync(() => Doubted >= enough, () => unless);
    }

    /// <summary>Ends the load, and sends again what nobody can say of; then every acknowledged thing is there once and assessed, and every event was told in order.</summary>
    public async Task ReckonAsync(Client client)
    {
        await _end.CancelAsync();
        await _burst;
        await _load!.SettleAsync(client);
        var reckoning = new Reckoning(client, _yard!, _ledger, Receiver);
        await reckoning.StoredAsync();
        await reckoning.AssessedAsync();
        var (events, again) = await reckoning.ToldAsync();
        TestContext.Current.TestOutputHelper!.WriteLine($"{_ledger.Acknowledged} acknowledged, {_ledger.Unknown} in doubt and sent again, none lost, none doubled; {events} events, {again} told again; the longest answer took {Longest.TotalSeconds:0.0} s.");
    }

    /// <summary>Has the command line look through the store.</summary>
    public Task VerifyAsync() => ServiceProcess.RunAsync("verify", "--data", _folder, "--database", Server.Connection);

    /// <summary>First cells of what a query reads.</summary>
    public async Task<IReadOnlyList<string>> ListAsync(string sql)
    {
        await using var connection = await OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        await using var reader = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        var cells = new List<string>();
        while (await reader.ReadAsync(TestContext.Current.CancellationToken))
            cells.Add($"{reader.GetValue(0)}");
        return cells;
    }

    /// <summary>A session beside those of the service.</summary>
    public async Task<NpgsqlConnection> OpenAsync()
    {
        var connection = new NpgsqlConnection(new NpgsqlConnectionStringBuilder(Server.Connection) { Pooling = false, ApplicationName = "beside" }.ToString());
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        return connection;
    }

    private Task WhileLoadedAsync(Func<bool> holds, Func<string> instead) => Eventually.TrueAsync(async () =>
    {
        if (_burst.IsFaulted)
            await _burst;
        return holds();
    }, instead, withinSeconds: 90);

    public async ValueTask DisposeAsync()
    {
        _end.Dispose();
        foreach (var service in _services)
            await service.DisposeAsync();
        await Receiver.DisposeAsync();
        await Server.DisposeAsync();
        _ledger.Dispose();
        Directory.Delete(_folder, recursive: true);
    }
}
