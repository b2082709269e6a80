using System.Diagnostics;
using System.Text.RegularExpressions;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Guide;

/// <summary>
/// Runs the guides as written: every bash block of one in one shell, each block's output holding what its `#=>` lines say. The Python
/// blocks of a guide stand one after another in client.py, in the folder where the shell works.
/// </summary>
public sealed partial class GuideTests
{
    [Theory, InlineData("api.md", "curl jq"), InlineData("integrating.md", "curl python3")]
    public async Task Guide_everyCommand_doesWhatItSays(string name, string needs)
    {
        foreach (var program in needs.Split(' '))
            Assert.SkipUnless((await BashAsync($"command -v {program}", "/")).Exit == 0, $"The commands of {name} need {needs}: Debian's packages of the same names.");
        await using var service = await RunningService.StartAsync(now: DateTimeOffset.UtcNow.ToString("O"), settings: new Settings { Delivery = new() { AllowHosts = "127.0.0.1" } });
        var guide = await File.ReadAllTextAsync(Path.Combine(Repository.Root, "docs", name), TestContext.Current.CancellationToken);
        var blocks = Block().Matches(guide).Select(m => m.Groups[1].Value).ToList();
        Assert.NotEmpty(blocks);
        var folder = Directory.CreateTempSubdirectory("backtracker-guide-").FullName;
        await File.WriteAllTextAsync(Path.Combine(folder, "client.py"), string.Join('\n', PythonBlock().Matches(guide).Select(m => m.Groups[1].Value)), TestContext.Current.CancellationToken);

        var (exit, output, errors) = await BashAsync(Script(blocks), folder, ("BASE", service.Address), ("KEY", service.AdminKey));

        Directory.Delete(folder, recursive: true);
        Assert.True(exit == 0, $"The guide stopped with exit code {exit}.\n{output}\n{errors}");
        var sections = output.Split("=====BLOCK\n").Skip(1).ToList();
        foreach (var (block, section) in blocks.Zip(sections))
            foreach (var expected in Expectation().Matches(block).Select(m => m.Groups[1].Value.Trim()))
                Assert.True(section.Contains(expected, StringComparison.Ordinal), $"Expected '{expected}' in:\n{section}\nof:\n{block}\n{errors}");
    }

    private static string Script(IEnumerable<string> blocks) =>
        "set -euo pipefail\n" + string.Concat(blocks.Select(b => $"printf '=====BLOCK\\n'\n{b}\n"));

    private static async Task<(int Exit, string Output, string Errors)> BashAsync(string script, string folder, params (string Name, string Value)[] environment)
    {
        var start = new ProcessStartInfo("bash", ["-s"]) { WorkingDirectory = folder, RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true };
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

    [GeneratedRegex("```python\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex PythonBlock();

    [GeneratedRegex("^#=> (.*)$", RegexOptions.Multiline)]
    private static partial Regex Expectation();
}
