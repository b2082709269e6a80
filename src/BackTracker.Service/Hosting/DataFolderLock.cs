using BackTracker.Storage;

namespace BackTracker.Service.Hosting;

/// <summary>One service at a time on a data folder.</summary>
internal sealed class DataFolderLock : IDisposable
{
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
        catch (IOException error)
        {
            throw new StorageException($"Another BackTracker service is running on {dataFolder}. Stop it first, or give this one its own folder with --data.", error);
        }
        catch (UnauthorizedAccessException error)
        {
            throw new StorageException($"The folder {dataFolder} cannot be written to: {error.Message}", error);
        }
    }

    public void Dispose() => _file.Dispose();
}
