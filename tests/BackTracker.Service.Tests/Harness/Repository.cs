namespace BackTracker.Service.Tests.Harness;

/// <summary>The folder of the repository the tests were built from.</summary>
internal static class Repository
{
    public static string Root { get; } = Find();

    private static string Find()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "BackTracker.sln")))
                return folder.FullName;
        throw new InvalidOperationException("BackTracker.sln was not found above the test's own folder.");
    }
}
