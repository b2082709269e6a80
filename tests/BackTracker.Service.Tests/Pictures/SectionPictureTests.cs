using BackTracker.Engine.Measures;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Tests.Pictures;

public sealed class SectionPictureTests
{
    public static TheoryData<int> Widths => [280, 328, 400, 640, 1200];

    [Theory, MemberData(nameof(Widths))]
    public void Draw_panelOverABack_isSoundAndKeepsWordsApart(int width)
    {
        var picture = Read(Laid(), width).ShouldBeSound().ShouldKeepWordsApart();

        string[] words = ["T13 from behind, 25 Nov, Bramble", "mm down", "mm from the midline", "left", "right", "A", "B", "back", "panel", "80 % band", "difference"];
        Assert.All(words, word => Assert.Contains(word, picture.Words));
        Assert.Contains("A, 30 mm down: 4 mm wide on the left, 2 mm narrow on the right.", string.Join(' ', picture.Words), StringComparison.Ordinal);
    }

    [Theory, MemberData(nameof(Widths))]
    public void Draw_treeByWidths_isSoundAndKeepsWordsApart(int width) => Read(ByWidths(), width).ShouldBeSound().ShouldKeepWordsApart();

    [Fact]
    public void Draw_curves_lieWhereTheGridSaysInOneScaleBothWays()
    {
        var picture = Read(Laid(), 640);

        var (zero, fifty) = (picture.Label("0", 0), picture.Label("50", 1));
        var (top, deep) = (picture.Label("0", 1), picture.Label("100", 2));
        var perMm = (ReadPicture.Number(deep, "y") - ReadPicture.Number(top, "y")) / 100;
        Assert.Equal(perMm, Math.Abs(ReadPicture.Number(fifty, "x") - ReadPicture.Number(zero, "x")) / 50, .01);
        (double X, double Y) Place(double x, double y) => (ReadPicture.Number(zero, "x") + (x * perMm), ReadPicture.Number(top, "y") - 4.5 + (y * perMm));

        var back = ReadPicture.Corners(picture.OfClass("back").First());
        foreach (var (corner, point) in back.Zip(Laid().Back))
            Assert.True(Off(corner, Place(point.X, point.Y)) < .4, $"{point} is drawn at {corner}.");
        var faces = picture.OfClass("panel").Where(element => element.Name.LocalName == "polyline").ToList();
        foreach (var (corner, point) in faces.Zip(Laid().Panel).SelectMany(pair => ReadPicture.Corners(pair.First).Zip(pair.Second)))
            Assert.True(Off(corner, Place(point.X, point.Y)) < .4, $"{point} is drawn at {corner}.");
        // The band is 6 mm either way at 150 mm, and the last corner of its nearer edge comes just before the first of the further one.
        var flank = ReadPicture.Corners(picture.OfClass("band80").First());
        Assert.Contains(flank, corner => Off(corner, Place(-150 - 6, 150)) < .4);
        Assert.Contains(flank, corner => Off(corner, Place(-150 + 6, 150)) < .4);
        // Left is on the left: the tree is wide there.
        Assert.Contains($"M{Text(Place(-Half(30), 30))}L{Text(Place(-Half(30) - 4, 30))}", picture.OfClass("gap").First().Attribute("d")!.Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Draw_description_saysWhatIsComparedAndHow()
    {
        var (laid, widths) = (Read(Laid(), 640), Read(ByWidths(), 640));

        Assert.Equal("T13 of Bramble under Trail saddle, 25 November 2026", laid.Title);
        Assert.Contains("seen from behind, left on the left", laid.Description, StringComparison.Ordinal);
        Assert.Contains("B, 100 mm down: 3 mm wide on either side.", laid.Description, StringComparison.Ordinal);
        Assert.Contains("known by its widths", widths.Description, StringComparison.Ordinal);
        Assert.Contains("A, 150 mm down: tree 320 mm, back 330 mm, so 10 mm narrow.", widths.Description, StringComparison.Ordinal);
    }

    [Fact]
    public void Draw_hostileNamesAndTwoPrefixes_stayTextAndApart()
    {
        var hostile = Laid() with { HorseName = "</svg><script>", SaddleLabel = "\"'&\u0001 " + new string('W', 200) };
        var (one, other) = (ReadPicture.Of(SectionPicture.Draw(hostile, new(328, "a"))).ShouldBeSound(), ReadPicture.Of(SectionPicture.Draw(hostile, new(328, "b"))));

        Assert.Contains("</svg><script>", one.Title, StringComparison.Ordinal);
        Assert.Empty(one.Ids.Intersect(other.Ids));
    }

    private static ReadPicture Read(SectionDrawing drawing, int width) => ReadPicture.Of(SectionPicture.Draw(drawing, new(width, "section")));

    private static double Off((double X, double Y) a, (double X, double Y) b) => double.Hypot(a.X - b.X, a.Y - b.Y);

    private static string Text((double X, double Y) place) => FormattableString.Invariant($"{Math.Round(place.X, 1):0.#},{Math.Round(place.Y, 1):0.#}");

    // A back 150 mm wide on either side 150 mm down, deeper as a power of the offset.
    private static double Half(double depth) => 150 * Math.Pow(depth / 150, 1 / 1.7);

    internal static SectionDrawing Laid() => new(
        "Bramble", "Trail saddle", "T13", new(2026, 11, 25), "From traces at T13, left and right told apart by their marks.",
        [.. Enumerable.Range(-30, 61).Select(i => new PointMm(Math.Sign(i) * Half(Math.Abs(i) * 5), Math.Abs(i) * 5))],
        [.. new[] { 30.0, 90, 150 }.SelectMany(depth => new[] { -1, 1 }.Select(sign => new DrawnHalf(depth, sign * Half(depth), sign * (Half(depth) - (.04 * depth)), sign * (Half(depth) + (.04 * depth)))))],
        [Face(-1), Face(1)],
        [
            new(30, new(-Half(30), -Half(30) - 4), new(Half(30), Half(30) - 2), "4 mm wide on the left, 2 mm narrow on the right"),
            new(100, new(-Half(100), -Half(100) - 3), new(Half(100), Half(100) + 3), "3 mm wide on either side"),
        ]);

    internal static SectionDrawing ByWidths() => Laid() with { Panel = [], Depths = [new(150, new(-165, -160), new(165, 160), "tree 320 mm, back 330 mm, so 10 mm narrow")] };

    private static List<PointMm> Face(int sign) => [.. Enumerable.Range(0, 17).Select(i => 52 + (5 * i)).Select(x => new PointMm(sign * x, 24 + (.9 * (x - 52))))];
}
