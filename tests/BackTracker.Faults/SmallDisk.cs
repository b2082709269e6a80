using System.Diagnostics;
using System.Globalization;

namespace BackTracker.Faults;

/// <summary>A disk of a few MiB, in memory (tmpfs), that can be made larger while it is in use.</summary>
internal sealed class SmallDisk : IAsyncDisposable
{
    private SmallDisk(string folder) => Folder = folder;

    public string Folder { get; }

    /// <summary>Mounts one; the test is skipped where that is not allowed.</summary>
    public static async Task<SmallDisk> MountAsync(int mebibytes)
    {
        var folder = Directory.CreateTempSubdirectory("backtracker-disk-").FullName;
        if (await RunAsync("mount", "-t", "tmpfs", "-o", Size(mebibytes), "tmpfs", folder) is { Length: > 0 } error)
        {
            Directory.Delete(folder);
            Assert.Skip($"A disk in memory cannot be mounted here: {error}");
        }
        return new SmallDisk(folder);
    }

    public Task GrowAsync(int mebibytes) => SetAsync(Size(mebibytes));

    /// <summary>Sets an option of the mount, such as `ro`.</summary>
    public Task SetAsync(string option) => MustAsync("mount", "-o", $"remount,{option}", Folder);

    /// <summary>Leaves no room.</summary>
    public async Task FillAsync()
    {
        await using var file = new FileStream(Path.Combine(Folder, "fill"), FileMode.CreateNew);
        var bytes = new byte[4096];
        try
        {
            while (true)
            {
                await file.WriteAsync(bytes, TestContext.Current.CancellationToken);
                await file.FlushAsync(TestContext.Current.CancellationToken);
            }
        }
        catch (IOException)
        {
            // It is full.
        }
    }

    public async ValueTask DisposeAsync()
    {
        await MustAsync("umount", Folder);
        Directory.Delete(Folder);
    }

    private static string Size(int mebibytes) => string.Create(CultureInfo.InvariantCulture, $"size={mebibytes}m");

    private static async Task MustAsync(string program, params string[] arguments) => Assert.Equal("", await RunAsync(program, arguments));

    /// <returns>What it complained of; nothing where it succeeded.</returns>
    private static async Task<string> RunAsync(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardError = true })!;
        var error = await process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return process.ExitCode == 0 ? "" : $"{program} {string.Join(' ', arguments)}: {error}";
    }
}
