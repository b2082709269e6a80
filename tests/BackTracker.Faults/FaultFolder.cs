namespace BackTracker.Faults;

/// <summary>A data folder of a test, with a key and the files in it.</summary>
internal sealed class FaultFolder : IDisposable
{
    private readonly DirectoryInfo _root;

    private FaultFolder(DirectoryInfo root) => _root = root;

    public string Data => Path.Combine(_root.FullName, "data");

    public string Key { get; private set; } = "";

    /// <summary>The database and its log.</summary>
    public string[] Records => [In("backtracker.db"), In("backtracker.db-wal")];

    /// <summary>The same and what the jobs keep.</summary>
    public string[] Everything => [.. Records, In("jobs.db"), In("jobs.db-wal"), In("jobs.db-journal")];

    public static async Task<FaultFolder> MakeAsync()
    {
        var folder = new FaultFolder(Directory.CreateTempSubdirectory("backtracker-fault-"));
        folder.Key = await ServiceProcess.RunAsync("key", "add", "--data", folder.Data, "--name", "faults", "--scopes", "admin");
        return folder;
    }

    public string In(string file) => Path.Combine(Data, file);

    /// <summary>A place beside the data.</summary>
    public string Beside(string name) => Path.Combine(_root.FullName, name);

    /// <summary>Starts the service, has it settle everything that a burst asked for, and verifies the store.</summary>
    public async Task SettleAsync(Burst burst)
    {
        await using var service = await ServiceProcess.StartAsync(Data);
        using var client = new Client(service.Address, Key);
        TestContext.Current.TestOutputHelper!.WriteLine(await burst.SettleAsync(client));
        await ServiceProcess.RunAsync("verify", "--data", Data);
    }

    public void Dispose() => _root.Delete(recursive: true);
}
