using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Operations;

/// <summary>What is installed. Takes a minute or two: switched on by BACKTRACKER_PUBLISH=1.</summary>
public sealed class PublishTests
{
    [Theory]
    [InlineData("backtracker")]
    [InlineData("backtracker.dll", "--shared-framework")]
    public async Task Publish_isWhatRunsByItself(string file, params string[] options)
    {
        Assert.SkipUnless(Environment.GetEnvironmentVariable("BACKTRACKER_PUBLISH") == "1", "Publishing takes minutes: BACKTRACKER_PUBLISH=1 switches it on.");
        var folder = Directory.CreateTempSubdirectory("backtracker-publish-").FullName;

        Assert.Contains("and tried", await Tool.RunAsync(Repository.Root, Path.Combine(Repository.Root, "scripts", "publish"), ["--out", folder, .. options]), StringComparison.Ordinal);

        Assert.Contains(file, Directory.EnumerateFiles(folder).Select(Path.GetFileName));
        if (options.Length == 0)
            Assert.Single(Directory.EnumerateFileSystemEntries(folder));
        Directory.Delete(folder, recursive: true);
    }
}
