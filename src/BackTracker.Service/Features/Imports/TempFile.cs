namespace BackTracker.Service.Features.Imports;

/// <summary>Files that are gone when they are closed, and with the process however it ends.</summary>
internal static class TempFile
{
    private const int BufferBytes = 1 << 16;

    public static FileStream Create(string folder)
    {
        var path = Path.Combine(folder, $"import-{Guid.NewGuid():N}.unfinished");
        var file = new FileStream(path, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.Delete, BufferBytes, FileOptions.DeleteOnClose);
        if (!OperatingSystem.IsWindows())
            File.Delete(path); // An open file lives on without its name, and nothing is left of it after a kill.
        return file;
    }
}
