using System.Text.Json.Nodes;
using BackTracker.Service.Evaluation;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commands;

public sealed class CommandLineTests
{
    [Theory]
    [InlineData("serve")]
    [InlineData("key", "add")]
    [InlineData("key", "list")]
    [InlineData("key", "revoke")]
    [InlineData("import")]
    [InlineData("assess")]
    [InlineData("calibrate")]
    [InlineData("demo")]
    [InlineData("backup")]
    [InlineData("restore")]
    [InlineData("verify")]
    public async Task Help_ofEachCommand_showsExamples(params string[] command)
    {
        var run = (await CommandRun.OfAsync([.. command, "--help"])).ShouldSucceed();

        Assert.Contains("Examples:", run.Output, StringComparison.Ordinal);
        Assert.Contains("--data", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Required command was not provided")]
    [InlineData("Unrecognized command or argument 'saddle'", "saddle")]
    [InlineData("Option '--data' is required", "serve")]
    [InlineData("--port 70000 is no port", "serve", "--data", "x", "--port", "70000")]
    [InlineData("`write` is no scope", "key", "add", "--data", "x", "--name", "n", "--scopes", "read,write")]
    [InlineData("Write a day as", "key", "add", "--data", "x", "--name", "n", "--scopes", "admin", "--expires", "soon")]
    [InlineData("Name either a FILE or the store", "verify")]
    [InlineData("Must be one of", "evaluate", "saddle", "x.json")]
    public async Task Run_commandLineThatMakesNoSense_exitsWith2(string words, params string[] arguments) =>
        (await CommandRun.OfAsync(arguments)).ShouldFail(2, words);

    [Theory]
    [InlineData("key", "list")]
    [InlineData("assess")]
    [InlineData("backup", "x.db")]
    [InlineData("verify")]
    public async Task Run_onFolderWithoutData_saysSoAndMakesNone(params string[] command)
    {
        await using var empty = await ServedFolder.EmptyAsync();

        (await empty.RunAsync(command)).ShouldFail(1, "There is no data in");

        Assert.Empty(Directory.GetFileSystemEntries(empty.Folder));
    }

    [Fact]
    public async Task Evaluate_case_printsWhatItExpects()
    {
        var file = Path.Combine(Repository.Root, "tests", "check-values", "trend", "g02_one_point.json");
        var known = JsonNode.Parse(await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken))!;

        var run = (await CommandRun.OfAsync("evaluate", "trend", file)).ShouldSucceed();

        Assert.Empty(CaseComparison.Differences(known["expected"]!, JsonNode.Parse(run.Output)!, known["tolerance"]!));
    }

    [Fact]
    public async Task Evaluate_fileThatIsNoCase_fails()
    {
        var file = Path.GetTempFileName();
        await File.WriteAllTextAsync(file, "{}", TestContext.Current.CancellationToken);

        (await CommandRun.OfAsync("evaluate", "trend", file)).ShouldFail(1, "The case cannot be evaluated");

        File.Delete(file);
    }
}
