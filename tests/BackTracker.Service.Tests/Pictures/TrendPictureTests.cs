using BackTracker.Service.Pictures;

namespace BackTracker.Service.Tests.Pictures;

public sealed class TrendPictureTests
{
    private static readonly DateOnly Today = new(2026, 11, 25);
    private static readonly double[] Values = [309, 310, 310, 311, 316, 328, 326, 330];

    public static TheoryData<int> Widths => [280, 328, 400, 640, 1200];

    [Theory, MemberData(nameof(Widths))]
    public void Draw_anyWidth_isSoundAndKeepsWordsApart(int width)
    {
        var picture = Read(Widening(), width).ShouldBeSound().ShouldKeepWordsApart();

        Assert.Equal(width, picture.WidthPx);
        string[] words = ["Width at T13, 150 mm down (mm)", "Today 25 Nov", "50 %", "80 %", "95 %", "over 334: tree narrow, out", "under 300: tree wide, out", "flocked", "fit check", "tree altered", "Day, 2026 to 2027"];
        Assert.All(words, word => Assert.Contains(word, picture.Words));
    }

    [Fact]
    public void Draw_points_lieWhereTheAxesSay()
    {
        var picture = Read(Widening(), 640);

        // Two labelled places on each axis give the scale; every session is looked for where it puts it.
        var across = Scale(picture.Label("1 Jun"), "x", new DateOnly(2026, 6, 1).DayNumber, picture.Label("1 Nov"), new DateOnly(2026, 11, 1).DayNumber);
        var up = Scale(picture.Label("300"), "y", 300, picture.Label("350"), 350);
        var (measured, outlying) = (picture.OfClass("measured").SkipLast(1).ToList(), picture.OfClass("outlying").First());
        var expected = Widening().Points.Where(point => point.OutlierProbability < .5).ToList();

        Assert.Equal(7, measured.Count);
        foreach (var (dot, point) in measured.Zip(expected))
        {
            Assert.Equal(across(point.Day.DayNumber), ReadPicture.Number(dot, "cx"), .2);
            Assert.Equal(up(point.Value) - 4.5, ReadPicture.Number(dot, "cy"), .2);
        }
        Assert.Equal(up(328) - 4.5, ReadPicture.Number(outlying, "cy"), .2);
        Assert.Equal("#fff", outlying.Attribute("fill")!.Value);
        Assert.Equal(across(Today.DayNumber), ReadPicture.Number(picture.OfClass("today").Single(), "x1"), .2);
        Assert.Equal(up(334) - 4.5, ReadPicture.Number(picture.OfClass("limit").First(), "y1"), .2);
        var top80 = ReadPicture.Corners(picture.OfClass("band80").Single());
        Assert.Equal(up(331 + 8) - 4.5, top80[1].Y, .2);
    }

    [Fact]
    public void Draw_description_saysWhatWhenWhichWayAndWhenItLeaves()
    {
        var picture = Read(Widening(), 640);

        Assert.Equal("Width at T13, 150 mm down, Bramble", picture.Title);
        Assert.Contains("measured 8 times since 13 May 2026", picture.Description, StringComparison.Ordinal);
        Assert.Contains("Last: 330 mm on 25 November 2026. Growing by about 4 mm in four weeks.", picture.Description, StringComparison.Ordinal);
        Assert.Contains("out of tolerance where the back is under 300 mm or over 334 mm. It is expected to leave tolerance about 30 December 2026.", picture.Description, StringComparison.Ordinal);
        Assert.Contains("Drawn hollow, because it does not go with the others: 328 mm on 30 September 2026.", picture.Description, StringComparison.Ordinal);
        Assert.Contains("Marked: flocked on 5 August 2026; fit check on 7 August 2026", picture.Description, StringComparison.Ordinal);
    }

    [Fact]
    public void Draw_twoPrefixes_shareNoId()
    {
        var (one, other) = (ReadPicture.Of(TrendPicture.Draw(Widening(), new(640, "a"))), ReadPicture.Of(TrendPicture.Draw(Widening(), new(640, "b"))));

        Assert.NotEmpty(one.Ids);
        Assert.Empty(one.Ids.Intersect(other.Ids));
        Assert.All(one.Named("polygon").Select(area => area.Attribute("fill")!.Value).Where(fill => fill.StartsWith("url", StringComparison.Ordinal)), fill => Assert.Contains(fill[5..^1], one.Ids));
    }

    [Theory]
    [InlineData("</svg><script>alert(1)</script>")]
    [InlineData("\"'&<!--]]>\u0001\ud800 \u202e")]
    [InlineData("A name that somebody made far longer than any stable door would ever have room for on its little brass plate")]
    public void Draw_hostileNames_stayText(string name)
    {
        var hostile = Widening() with { HorseName = name, Tolerance = new(name, 300, 334) };

        var picture = Read(hostile, 328).ShouldBeSound();

        Assert.Contains(name[..2], picture.Title, StringComparison.Ordinal);
    }

    [Fact]
    public void Draw_oneSession_isAPictureToo()
    {
        var once = new TrendDrawing("Bramble", "the weight", "kg", Today, "No trend yet.", [new(Today.AddDays(-700), 480, 0, 0)], [], [], null, []);

        var picture = Read(once, 328).ShouldBeSound().ShouldKeepWordsApart();

        Assert.Contains("Weight of Bramble, measured once.", picture.Description, StringComparison.Ordinal);
        Assert.Single(picture.OfClass("measured").SkipLast(1));
    }

    private static ReadPicture Read(TrendDrawing drawing, int width) => ReadPicture.Of(TrendPicture.Draw(drawing, new(width, "trend")));

    /// <summary>Bramble widens after hill work; one session does not go with the others.</summary>
    internal static TrendDrawing Widening() => new(
        "Bramble", "the width at T13, 150 mm down", "mm", Today, "Growing by about 4 mm in four weeks.",
        [.. Values.Select((value, i) => new DrawnPoint(Today.AddDays(28 * (i - 7)), value, 1.4, value == 328 ? .9 : .02))],
        [.. Values.Select((_, i) => new DrawnLevel(Today.AddDays(28 * (i - 7)), 308 + (i * i * .45)))],
        [.. Enumerable.Range(0, 13).Select(week => Expected(Today.AddDays(7 * week), 330 + week, 1.5 + (.5 * week)))],
        new("Trail saddle", 300, 334),
        [new(new(2026, 8, 5), "flocked"), new(new(2026, 8, 7), "fit check"), new(new(2026, 9, 20), "tree altered")]);

    private static DrawnForecast Expected(DateOnly day, double level, double sd) =>
        new(day, level, new(level - sd, level + sd), new(level - (4 * sd), level + (4 * sd)), new(level - (6 * sd), level + (6 * sd)));

    private static Func<double, double> Scale(System.Xml.Linq.XElement one, string attribute, double at, System.Xml.Linq.XElement other, double otherAt)
    {
        var (first, second) = (ReadPicture.Number(one, attribute), ReadPicture.Number(other, attribute));
        return value => first + ((second - first) * (value - at) / (otherAt - at));
    }
}
