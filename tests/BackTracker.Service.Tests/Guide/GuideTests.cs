using System.Diagnostics;
using System.Text.RegularExpressions;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Guide;

/// <summary>Runs docs/api.md as written: every bash block in one shell, each block's output holding what its `#=>` lines say.</summary>
public sealed partial class GuideTests
{
    [Fact]
    public async Task Guide_everyCommand_doesWhatItSays()
    {
        Assert.SkipUnless(await RunsAsync("jq --version") && await RunsAsync("curl --version"), "The guide's commands need curl and jq: Debian's packages of the same names.");
        await using var service = await RunningService.StartAsync(now: DateTimeOffset.UtcNow.ToString("O"));
        var guide = await File.ReadAllTextAsync(Path.Combine(Repository.Root, "docs", "api.md"), TestContext.Current.CancellationToken);
        var blocks = Block().Matches(guide).Select(m => m.Groups[1].Value).ToList();
        Assert.NotEmpty(blocks);

        var (exit, output, errors) = await BashAsync(Script(blocks), ("BASE", service.Address), ("KEY", service.AdminKey));

        Assert.True(exit == 0, $"The guide stopped with exit code {exit}.\n{output}\n{errors}");
        var sections = output.Split("=====BLOCK\n").Skip(1).ToList();
        foreach (var (block, section) in blocks.Zip(sections))
            foreach (var expected in Expectation().Matches(block).Select(m => m.Groups[1].Value.Trim()))
                Assert.True(section.Contains(expected, StringComparison.Ordinal), $"Expected '{expected}' in:\n{section}\nof:\n{block}");
    }

    private static string Script(IEnumerable<string> blocks) =>
        "set -euo pipefail\n" + string.Concat(blocks.Select(b => $"printf '=====BLOCK\\n'\n{b}\n"));

    private static async Task<bool> RunsAsync(string command) => (await BashAsync($"command -v {command.Split(' ')[0]}")).Exit == 0;

    private static async Task<(int Exit, string Output, string Errors)> BashAsync(string script, params (string Name, string Value)[] environment)
    {
        var start = new ProcessStartInfo("bash", ["-s"]) { RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var (name, value) in environment)
            start.Environment[name] = value;
        using var bash = Process.Start(start)!;
        await bash.StandardInput.WriteAsync(script);
        bash.StandardInput.Close();
        var output = bash.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var errors = bash.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        using var limit = new CancellationTokenSource(TimeSpan.FromMinutes(2));
        try
        {
            await bash.WaitForExitAsync(limit.Token);
        }
        catch (OperationCanceledException)
        {
            bash.Kill(entireProcessTree: true);
        }
        return (bash.HasExited ? bash.ExitCode : -1, await output, await errors);
    }

    [GeneratedRegex("```bash\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex Block();

    [GeneratedRegex("^#=> (.*)$", RegexOptions.Multiline)]
    private static partial Regex Expectation();
}
