namespace BackTracker.Storage.Tests.Harness;

/// <summary>What a failing disk does to a file.</summary>
internal static class Damage
{
    /// <summary>Overwrites half a page.</summary>
    public static void Overwrite(string path, long at)
    {
        using var file = new FileStream(path, FileMode.Open, FileAccess.Write);
        file.Seek(at, SeekOrigin.Begin);
        file.Write([.. Enumerable.Repeat((byte)0xA5, 2048)]);
    }
}
