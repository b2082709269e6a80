using System.Net;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Pictures;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pictures;

public sealed class AgreementPictureTests
{
    public static TheoryData<int> Widths => [280, 360, 700, 1200];

    [Theory, MemberData(nameof(Widths))]
    public void Draw_anyWidth_isSoundAndKeepsWordsApart(int width)
    {
        var picture = Read(Pairs(400), width).ShouldBeSound().ShouldKeepWordsApart();

        Assert.All(new[] { "Second less first (mm)", "Mean of the two (mm)", "a pair" }, words => Assert.Contains(words, picture.Words));
    }

    [Fact]
    public void Draw_levels_lieWhereTheAxisSays()
    {
        // Differences 3, 5, 4: mean 4, deviation 1.
        var picture = Read([new(301, 3), new(305, 5), new(303, 4)], 640);
        var (zero, ten) = (ReadPicture.Number(picture.Label("0"), "y") - 4.5, ReadPicture.Number(picture.Label("10"), "y") - 4.5);
        double At(double value) => zero + ((ten - zero) * value / 10);

        Assert.Equal(At(4), ReadPicture.Number(picture.OfClass("bias").First(), "y1"), .2);
        Assert.Equal([At(2.04), At(5.96)], picture.OfClass("limit").Take(2).Select(line => ReadPicture.Number(line, "y1")), (one, other) => Math.Abs(one - other) < .2);
        // t of two degrees of freedom is 4.3027, the standard error of the mean 1/sqrt(3).
        var bar = ReadPicture.Corners(picture.OfClass("between-bias").Single());
        Assert.Equal(At(4 + (4.3026527 / Math.Sqrt(3))), bar[0].Y, .2);
        Assert.Equal(At(4 - (4.3026527 / Math.Sqrt(3))), bar[2].Y, .2);
        Assert.Contains("Mean difference 4.0 mm (1.5 to 6.5). Of 100 differences 95 lie between 2.0 (", picture.Description, StringComparison.Ordinal);
    }

    [Fact]
    public void Draw_pairsAllAlike_stillHasAScale() => Read([new(300, 0), new(300, 0)], 360).ShouldBeSound();

    [Fact]
    public async Task RepeatabilitySvg_ofRepeats_andOfTwoPeople_orWhyNot()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var route = $"/v1/people/{yard.VetId}/repeatability.svg";
        (await yard.Reader.GetAsync(route)).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");
        foreach (var (day, difference) in new[] { (1, 3.0), (10, 5) })
        {
            await yard.Recorder.MakeAsync(yard.Measurements, yard.Session($"2026-01-{day:00}T10:00:00Z", [300, 301]));
            await yard.Recorder.MakeAsync(yard.Measurements, yard.Session($"2026-01-{day + 2:00}T10:00:00Z", [300 + difference, 302 + difference], $$"""{"measuredBy":"{{yard.VetId}}"}"""));
        }

        var repeats = ReadPicture.Of((await yard.Reader.GetAsync(route)).Should(HttpStatusCode.OK).Text).ShouldBeSound();
        var both = ReadPicture.Of((await yard.Reader.GetAsync($"{route}?otherId={yard.FitterId}&metric=T13.width150&width=360")).Should(HttpStatusCode.OK).Text).ShouldBeSound();

        Assert.Equal("Width at T13, 150 mm down, with the arm gauge: repeats of A vet", repeats.Title);
        Assert.Contains("2 pairs. Mean difference 2.0 mm", repeats.Description, StringComparison.Ordinal);
        Assert.Equal("Width at T13, 150 mm down, with the arm gauge: A vet and A fitter", both.Title);
        Assert.Contains("Mean difference 4.5 mm", both.Description, StringComparison.Ordinal);
        (await yard.Reader.GetAsync($"{route}?metric=T8.width150")).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");
        (await yard.Stranger.GetAsync(route)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    private static ReadPicture Read(IReadOnlyList<ComparedPair> pairs, int width) =>
        ReadPicture.Of(AgreementPicture.Draw(new("Width at T13: repeats of Nell", "Second less first", "mm", pairs), new PictureFrame(width, "a")));

    private static ComparedPair[] Pairs(int count) => [.. Enumerable.Range(0, count).Select(i => new ComparedPair(290 + (i * 37 % 60), ((i * 29 % 100) - 48) / 10.0))];
}
