using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commands;

public sealed class SimulateCommandTests
{
    [Fact]
    public async Task Simulate_fewHorses_printsTheSameTablesOnAnyNumberOfProcessors()
    {
        var one = await RunAsync("--seed", "3");
        var two = await RunAsync("--seed", "3", "--threads", "2");

        Assert.Equal(one.Output, two.Output);
        Assert.NotEqual(one.Output, (await RunAsync("--seed", "4")).Output);
        Assert.StartsWith("Simulated horses, no real ones", one.Lines[0], StringComparison.Ordinal);
        // A fitter every 26 weeks comes twice in 365 days; the policy measures, and makes as many visits as itself.
        Assert.Equal("2.00 (2.00 to 2.00)", Cells(one, "fitter every 26 weeks")[2]);
        Assert.DoesNotContain("0.0 (", Cells(one, "as installed")[3], StringComparison.Ordinal);
        Assert.Equal("1.00 (1.00 to 1.00)", Cells(one, "as installed")[5]);
        Assert.Equal(3, one.Lines.Count(line => line.EndsWith("\tmet", StringComparison.Ordinal) || line.EndsWith("\tmissed", StringComparison.Ordinal)));
        Assert.Equal(["28", "10"], Cells(one, "lay-off")[1..3]);
    }

    [Fact]
    public async Task Simulate_learningFromAnotherHerd_setsItsPriorsBesideTheShipped()
    {
        var few = await RunAsync("--seed", "3", "--learn-from", "4");

        Assert.Contains("\ttoo-few-horses", few.Output, StringComparison.Ordinal);
        // Nothing was learned, so both ways are one.
        Assert.Equal(["1.00 (1.00 to 1.00)", "1.00 (1.00 to 1.00)"], Cells(few, "building")[4..6]);
        Assert.Equal((await RunAsync("--seed", "3")).Lines[1], few.Lines[1]);
    }

    [Fact]
    public async Task Help_showsExamples() =>
        Assert.Contains("backtracker simulate --horses 20 --seed 2", (await CommandRun.OfAsync("simulate", "--help")).ShouldSucceed().Output, StringComparison.Ordinal);

    [Theory]
    [InlineData("--horses takes 1 or more", "--horses", "0")]
    [InlineData("--threads takes 1 or more", "--threads", "0")]
    [InlineData("--years takes 0.5 to 20", "--years", "0.1")]
    [InlineData("--tree-sd takes 0 to 10", "--tree-sd", "-1")]
    public async Task Simulate_nonsense_exitsWith2(string words, params string[] arguments) =>
        (await CommandRun.OfAsync(["simulate", .. arguments])).ShouldFail(2, words);

    private static async Task<CommandRun> RunAsync(params string[] arguments)
    {
        var run = await CommandRun.OfAsync(["simulate", "--horses", "2", "--years", "1", .. arguments]);
        Assert.Equal(0, run.ExitCode);
        Assert.All(run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries), line => Assert.Matches(@"^.+: 10 horses in \d+ s$", line));
        return run;
    }

    private static string[] Cells(CommandRun run, string first) => run.Lines.First(line => line.StartsWith(first + "\t", StringComparison.Ordinal)).Split('\t');
}
