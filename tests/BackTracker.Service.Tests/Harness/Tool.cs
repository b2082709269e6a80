using System.Diagnostics;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A program that is not ours: an npm tool, the .NET SDK.</summary>
internal static class Tool
{
    /// <summary>The folder of the npm tools; the test is skipped where there is none.</summary>
    public static string NodeFolder()
    {
        var folder = Environment.GetEnvironmentVariable("BACKTRACKER_TEST_NODE_CHECKS");
        Assert.SkipWhen(string.IsNullOrEmpty(folder), "No npm tools: scripts/test fetches them where it can and names their folder in BACKTRACKER_TEST_NODE_CHECKS.");
        return folder!;
    }

    /// <summary>Runs a program in a folder to its end, insists on success, and returns what it said.</summary>
    public static async Task<string> RunAsync(string folder, string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var (name, value) in new[] { ("KIOTA_OFFLINE_ENABLED", "true"), ("DOTNET_NOLOGO", "1"), ("REDOCLY_TELEMETRY", "off"), ("REDOCLY_SUPPRESS_UPDATE_NOTICE", "true") })
            start.Environment[name] = value;
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}.\n{await output}\n{await errors}");
        return await output;
    }
}
