using System.Globalization;
using System.Text;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A page as a printer would set it: grey dots, row by row from the top. Places are in mm from the lower left corner.</summary>
internal sealed class Pixels
{
    public const int Dpi = 300;
    public const double MmPerDot = 25.4 / Dpi;
    private const byte Dark = 100;
    private readonly byte[] _dots;
    private readonly int _width;
    private readonly int _height;

    private Pixels(byte[] dots, int width, int height) => (_dots, _width, _height) = (dots, width, height);

    /// <summary>Every page, rendered by a program that is not ours.</summary>
    public static async Task<IReadOnlyList<Pixels>> OfAsync(byte[] pdf)
    {
        var program = Environment.GetEnvironmentVariable("BACKTRACKER_TEST_PDFTOPPM");
        Assert.SkipWhen(string.IsNullOrEmpty(program), "No pdftoppm: scripts/with-pdf-renderer installs one where it can and names it in BACKTRACKER_TEST_PDFTOPPM.");
        var folder = Directory.CreateTempSubdirectory("backtracker-pages-").FullName;
        try
        {
            await File.WriteAllBytesAsync(Path.Combine(folder, "in.pdf"), pdf, TestContext.Current.CancellationToken);
            await Tool.RunAsync(folder, program!, "-r", Dpi.ToString(CultureInfo.InvariantCulture), "-gray", "in.pdf", "page");
            return [.. Directory.GetFiles(folder, "page*.pgm").Order(StringComparer.Ordinal).Select(file => Read(File.ReadAllBytes(file)))];
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    /// <summary>Middles of the dark runs along a level line, from left to right.</summary>
    public IReadOnlyList<double> Across(double y, double fromX, double toX) => Runs(i => At(Column(fromX) + i, Row(y)), Column(toX) - Column(fromX), fromX);

    /// <summary>Middles of the dark runs along an upright line, from the bottom up.</summary>
    public IReadOnlyList<double> Upwards(double x, double fromY, double toY) => Runs(i => At(Column(x), Row(fromY) - i), Row(fromY) - Row(toY), fromY);

    /// <summary>Where the arms of a cross meet, that is known to a millimetre.</summary>
    public (double X, double Y) CrossAt(double x, double y)
    {
        var near = Enumerable.Range(-12, 25).Select(i => i * MmPerDot).ToList();
        double Filled(Func<double, bool> isDark) => Enumerable.Range(-40, 81).Count(i => isDark(i * MmPerDot));
        return (Heaviest(near.Select(off => (x + off, Filled(along => At(Column(x + off), Row(y + along)))))), Heaviest(near.Select(off => (y + off, Filled(along => At(Column(x + along), Row(y + off)))))));
    }

    private static double Heaviest(IEnumerable<(double Place, double Weight)> places)
    {
        var all = places.ToList();
        var most = all.Max(place => place.Weight);
        return all.Where(place => place.Weight > .9 * most).Average(place => place.Place);
    }

    private static List<double> Runs(Func<int, bool> isDark, int count, double from)
    {
        var (middles, start) = (new List<double>(), -1);
        for (var i = 0; i <= count; i++)
        {
            var dark = i < count && isDark(i);
            if (dark && start < 0)
                start = i;
            else if (!dark && start >= 0)
            {
                middles.Add(from + ((start + i - 1) / 2.0 * MmPerDot));
                start = -1;
            }
        }
        return middles;
    }

    private static int Column(double x) => (int)Math.Floor(x / MmPerDot);

    private int Row(double y) => _height - 1 - (int)Math.Floor(y / MmPerDot);

    private bool At(int column, int row) => column >= 0 && column < _width && row >= 0 && row < _height && _dots[(row * _width) + column] < Dark;

    // "P5 width height 255" and one blank, then the dots.
    private static Pixels Read(byte[] file)
    {
        var (words, at) = (new List<string>(), 0);
        while (words.Count < 4)
        {
            var end = Array.FindIndex(file, at, letter => char.IsWhiteSpace((char)letter));
            words.Add(Encoding.ASCII.GetString(file, at, end - at));
            at = end + 1;
        }
        Assert.Equal(("P5", "255"), (words[0], words[3]));
        var (width, height) = (int.Parse(words[1], CultureInfo.InvariantCulture), int.Parse(words[2], CultureInfo.InvariantCulture));
        return new Pixels(file[at..], width, height);
    }
}
