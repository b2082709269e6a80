using System.Diagnostics;
using System.Globalization;

namespace BackTracker.Faults;

/// <summary>Puts faults into system calls of a running process, with strace(1), until it is disposed. Calls are counted for each thread by itself.</summary>
internal sealed class Strace : IAsyncDisposable
{
    private readonly Process _process;

    private Strace(Process process) => _process = process;

    /// <summary>Begins; the test is skipped where that cannot be.</summary>
    /// <param name="processId">Whose calls.</param>
    /// <param name="inject">What to do to which, as after `-e inject=`.</param>
    /// <param name="paths">Files to which it is done.</param>
    public static Task<Strace> InjectAsync(int processId, string inject, params IEnumerable<string> paths) =>
        AttachAsync(processId, ["-e", $"trace={inject[..inject.IndexOf(':', StringComparison.Ordinal)]}", "-e", $"inject={inject}", "-o", "/dev/null"], paths);

    /// <summary>Does nothing but write down every call to some files.</summary>
    public static Task<Strace> WatchAsync(int processId, string calls, string log, params IEnumerable<string> paths) =>
        AttachAsync(processId, ["-e", $"trace={calls}", "-o", log], paths);

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
            using (var kill = Process.Start("kill", ["-INT", _process.Id.ToString(CultureInfo.InvariantCulture)]))
                await kill.WaitForExitAsync(CancellationToken.None);
        await _process.WaitForExitAsync(CancellationToken.None);
        _process.Dispose();
    }

    private static async Task<Strace> AttachAsync(int processId, IEnumerable<string> what, IEnumerable<string> paths)
    {
        var strace = Environment.GetEnvironmentVariable("BACKTRACKER_TEST_STRACE");
        Assert.SkipWhen(string.IsNullOrEmpty(strace), "No strace was named; scripts/with-fault-tools names one.");
        var process = Process.Start(new ProcessStartInfo(strace!, ["-f", "-p", processId.ToString(CultureInfo.InvariantCulture), .. what, .. paths.SelectMany(path => new[] { "-P", path })]) { RedirectStandardError = true })!;
        while (await process.StandardError.ReadLineAsync(TestContext.Current.CancellationToken) is { } line)
        {
            if (!line.Contains(" attached", StringComparison.Ordinal))
                continue;
            _ = process.StandardError.ReadToEndAsync(CancellationToken.None);
            return new Strace(process);
        }
        Assert.Skip("strace may not look into other processes here.");
        throw new InvalidOperationException();
    }
}
