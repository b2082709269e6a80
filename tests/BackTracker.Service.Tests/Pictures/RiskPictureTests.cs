using System.Net;
using BackTracker.Service.Pictures;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pictures;

public sealed class RiskPictureTests
{
    private static readonly DateOnly Today = new(2026, 11, 25);

    public static TheoryData<int, int> Sizes => new() { { 280, 84 }, { 360, 182 }, { 700, 365 }, { 1200, 1 } };

    [Theory, MemberData(nameof(Sizes))]
    public void Draw_anyWidthAndHorizon_isSoundAndKeepsWordsApart(int width, int days)
    {
        var picture = Read(days, width).ShouldBeSound().ShouldKeepWordsApart();

        Assert.All(new[] { "Chance of being out (%)", "Today 25 Nov", "out by the day", "out on the day" }, words => Assert.Contains(words, picture.Words));
    }

    [Fact]
    public void Draw_curvesLimitAndChecks_lieWhereTheAxesSay()
    {
        var picture = Read(84, 640);
        var (none, all) = (ReadPicture.Number(picture.Label("0"), "y") - 4.5, ReadPicture.Number(picture.Label("100"), "y") - 4.5);
        double At(double share) => none + ((all - none) * share);
        var by = ReadPicture.Corners(picture.OfClass("out-by").First(line => line.Name.LocalName == "polyline"));
        var on = ReadPicture.Corners(picture.OfClass("out-on").First(line => line.Name.LocalName == "polyline"));

        Assert.Equal((85, At(.84), At(.42)), (by.Length, by[84].Y, on[84].Y), (one, other) => Math.Abs(one.Item2 - other.Item2) < .2 && Math.Abs(one.Item3 - other.Item3) < .2 && one.Item1 == other.Item1);
        Assert.Equal(At(.2), ReadPicture.Number(picture.OfClass("limit").First(), "y1"), .2);
        Assert.Equal(by[40].X, ReadPicture.Number(picture.OfClass("mark").Last(), "x1"), .2);
        Assert.Equal(by[0].X, ReadPicture.Number(picture.OfClass("today").Single(), "x1"), .2);
        Assert.Contains("A check is due at 20 %, reached on 15 December 2026. Marked: fit due on 4 January 2027", picture.Description, StringComparison.Ordinal);
    }

    [Fact]
    public async Task ForecastSvg_isAPictureOfTheNumbersOfTheAnswer_orSaysWhyNot()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        var pairing = (await service.Admin.GetAsync($"/v1/pairings?horseId={yard.HorseId}")).Items[0]!["id"]!.GetValue<string>();
        (await service.Admin.GetAsync($"/v1/pairings/{pairing}/forecast.svg")).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "impossible");
        foreach (var width in new[] { 312.0, 318, 325 })
        {
            await yard.MeasureAsync(width);
            await service.PassDaysAsync(28);
        }

        var picture = ReadPicture.Of((await service.Admin.GetAsync($"/v1/pairings/{pairing}/forecast.svg?horizonDays=84&width=360")).Should(HttpStatusCode.OK).Text).ShouldBeSound();
        var days = (await service.Admin.GetAsync($"/v1/pairings/{pairing}/forecast?horizonDays=84"))["overall"]!["days"]!.AsArray();

        Assert.Equal("Risk by day, Bramble's saddle on Bramble", picture.Title);
        Assert.Contains($"{Engine.Words.Percent(days[28]!["probabilityOutBy"]!.GetValue<double>())} by ", picture.Description, StringComparison.Ordinal);
        Assert.Equal(days.Count, ReadPicture.Corners(picture.OfClass("out-by").First(line => line.Name.LocalName == "polyline")).Length);
    }

    private static ReadPicture Read(int days, int width) => ReadPicture.Of(RiskPicture.Draw(
        new(
            "Risk by day, Trail saddle on Bramble",
            [.. Enumerable.Range(0, days + 1).Select(ahead => new DrawnRisk(Today.AddDays(ahead), Math.Min(1, ahead / 200.0), Math.Min(1, ahead / 100.0)))],
            .2, [.. new[] { new DrawnMark(Today.AddDays(40), "fit due"), new DrawnMark(Today.AddDays(44), "flocking booked") }.Where(mark => mark.Day <= Today.AddDays(days))]),
        new PictureFrame(width, "r")));
}
