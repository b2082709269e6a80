using System.Diagnostics;

namespace BackTracker.Benchmarks;

/// <summary>
/// How long the real binary takes from its start to its first 200, on data that is there, beside a bare server in turn within one run; and what memory it has when nobody asks.
/// </summary>
internal static class StartTimes
{
    private const int Rounds = 9;
    private static readonly TimeSpan Idle = TimeSpan.FromSeconds(20);

    public static async Task ReportAsync()
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-start-");
        string[] bare = ["BackTracker.Benchmarks.dll", "bare-reads", folder.CreateSubdirectory("bare").FullName];
        string[] service = ["backtracker.dll", "serve", "--data", folder.CreateSubdirectory("data").FullName, "--port", "0"];
        List<double> theirs = [], ours = [];
        for (var round = -1; round < Rounds; round++)
        {
            var (their, our) = (await TimeAsync(bare, "/row/1"), await TimeAsync(service, "/health/ready"));
            if (round < 0)
                continue; // The first start makes the data.
            theirs.Add(their);
            ours.Add(our);
        }
        Say($"start to first 200, median of {Rounds}: {Median(ours):F0} ms; bare {Median(theirs):F0} ms; twice the bare and half a second are {(2 * Median(theirs)) + 500:F0} ms");
        using var idle = await Server.StartAsync(service);
        await Task.Delay(Idle);
        Say($"memory after {Idle.TotalSeconds:F0} s without a request: {idle.ResidentMiB:F0} MiB");
        idle.Stop();
        folder.Delete(recursive: true);
    }

    private static async Task<double> TimeAsync(string[] command, string path)
    {
        var watch = Stopwatch.StartNew();
        using var server = await Server.StartAsync(command);
        using var http = new HttpClient();
        (await http.GetAsync(server.Address + path)).EnsureSuccessStatusCode();
        var took = watch.Elapsed.TotalMilliseconds;
        server.Stop();
        return took;
    }

    private static double Median(List<double> times) => times.Order().ElementAt(Rounds / 2);

    private static void Say(FormattableString text) => Console.WriteLine(FormattableString.Invariant(text));
}
