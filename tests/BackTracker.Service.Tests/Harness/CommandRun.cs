using System.Diagnostics;

namespace BackTracker.Service.Tests.Harness;

/// <summary>What a command said and how it ended.</summary>
internal sealed record CommandRun(int ExitCode, string Output, string Error)
{
    private static readonly string Program = Path.Combine(AppContext.BaseDirectory, "backtracker.dll");

    /// <summary>Runs the built program to its end.</summary>
    public static async Task<CommandRun> OfAsync(params string[] arguments)
    {
        using var process = Start(arguments, null);
        var output = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var error = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return new CommandRun(process.ExitCode, await output, await error);
    }

    public static Process Start(IEnumerable<string> arguments, IReadOnlyDictionary<string, string>? environment)
    {
        var start = new ProcessStartInfo("dotnet", [Program, .. arguments]) { RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var (name, value) in environment ?? new Dictionary<string, string>())
            start.Environment[name] = value;
        return Process.Start(start)!;
    }

    /// <summary>Insists on success without a word on standard error.</summary>
    public CommandRun ShouldSucceed()
    {
        Assert.True(ExitCode == 0 && Error.Length == 0, $"exit code {ExitCode}: {Error}");
        return this;
    }

    /// <summary>Insists on a failure told on standard error only, in words and not by a stack.</summary>
    public CommandRun ShouldFail(int exitCode, string withWords)
    {
        Assert.True(ExitCode == exitCode, $"exit code {ExitCode}, not {exitCode}: {Error}");
        Assert.Empty(Output);
        Assert.Contains(withWords, Error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", Error, StringComparison.Ordinal);
        return this;
    }

    public string[] Lines => Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
}
