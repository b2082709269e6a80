using BackTracker.Storage;

namespace BackTracker.Service.Hosting;

/// <summary>One service at a time on a data folder.</summary>
internal sealed class DataFolderLock : IDisposable
{
    // The runtime hands on the number of the system: EWOULDBLOCK here and there, ERROR_SHARING_VIOLATION.
    private const int HeldOnLinux = 11;
    private const int HeldOnMac = 35;
    private const int HeldOnWindows = unchecked((int)0x80070020);

    private readonly FileStream _file;

    private DataFolderLock(FileStream file) => _file = file;

    /// <exception cref="StorageException">Another service holds it, or the folder cannot be written.</exception>
    public static DataFolderLock Take(string dataFolder)
    {
        var path = Path.Combine(dataFolder, "service.lock");
        try
        {
            Directory.CreateDirectory(dataFolder);
            return new DataFolderLock(new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None));
        }
        catch (IOException error) when (error.HResult is HeldOnLinux or HeldOnMac or HeldOnWindows)
        {
            throw new StorageException($"Another BackTracker service is running on {dataFolder}. Stop it first, or give this one its own folder with --data.", error);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new StorageException($"The folder {dataFolder} cannot be written to: {error.Message}", error);
        }
    }

    public void Dispose() => _file.Dispose();
}
