using SkiaSharp;

namespace BackTracker.Service.Pictures;

/// <summary>
/// The font in which pictures are written where they have to become pixels: the first of a few plain ones that is installed. The library
/// that draws brings none and looks for none.
/// </summary>
/// <param name="folders">Where fonts are installed.</param>
internal sealed class PictureFont(IReadOnlyList<string> folders)
{
    /// <summary>Fonts that will do, the best first.</summary>
    public static readonly IReadOnlyList<string> Files = ["DejaVuSans.ttf", "NotoSans-Regular.ttf", "LiberationSans-Regular.ttf", "Arial.ttf", "arial.ttf"];

    private readonly Lazy<SKTypeface?> _face = new(() => Find(folders));

    /// <summary>Where systems keep their fonts.</summary>
    public static PictureFont Installed { get; } = new(
        ["/usr/share/fonts", "/usr/local/share/fonts", "/Library/Fonts", "/System/Library/Fonts", Environment.GetFolderPath(Environment.SpecialFolder.Fonts)]);

    /// <summary>The font; false where none is installed.</summary>
    public bool TryGet(out SKTypeface face)
    {
        face = _face.Value!;
        return face is not null;
    }

    private static SKTypeface? Find(IReadOnlyList<string> folders)
    {
        var look = new EnumerationOptions { RecurseSubdirectories = true, IgnoreInaccessible = true };
        var installed = folders.Where(Directory.Exists).SelectMany(folder => Directory.EnumerateFiles(folder, "*.ttf", look)).ToLookup(path => Path.GetFileName(path));
        return Files.SelectMany(file => installed[file]).Select(path => SKTypeface.FromFile(path)).FirstOrDefault(face => face is not null);
    }
}
