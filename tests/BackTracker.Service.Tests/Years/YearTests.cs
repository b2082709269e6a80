using BackTracker.Engine.Checks;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Years;

/// <summary>A year of two hundred horses in four yards, lived once through the service; then each promise is held against it.</summary>
public sealed class YearTests(LivedYear year, ITestOutputHelper output) : IClassFixture<LivedYear>
{
    private static readonly int LeastMoveDays = new CheckPolicy().MoveDays;

    [Fact]
    public void EveryCause_isSeen() =>
        Assert.Empty(Enum.GetValues<Cause>().Select(Words.Write).Except(year.Causes));

    [Fact]
    public void AssessingEverybodyAgain_writesNothing()
    {
        foreach (var (before, after) in year.AssessedAgain)
            after.ShouldEqual(before);
    }

    [Fact]
    public void NoCheck_isThereTwice()
    {
        foreach (var lives in year.Checks.GroupBy(check => check.Subject))
            foreach (var (earlier, later) in lives.Zip(lives.Skip(1)))
                Assert.True(earlier.Row.State is "done" or "dropped" && earlier.EndedOn <= later.OpenedOn, $"Two at once:\n{earlier}\n{later}");
    }

    [Fact]
    public void NoDay_isMovedByLessThanAWeekWithoutNeed() =>
        Assert.Empty(year.Checks.SelectMany(check => check.NeedlessMoves(LeastMoveDays)));

    [Fact]
    public void NoDay_goesThereAndBack() => Assert.Empty(year.Checks.SelectMany(check => check.ThereAndBack(28)));

    [Fact]
    public void NoCheck_isOpenedAfterItsDay() =>
        Assert.All(year.Checks.Where(check => !WasLeftToAVisit(check)), check => Assert.True(check.FirstDays.DueOn >= check.OpenedOn, check.ToString()));

    [Fact]
    public void NoCheck_flaps()
    {
        var flaps = year.Checks.GroupBy(check => check.Subject).SelectMany(lives => lives.Zip(lives.Skip(1)))
            .Where(pair => pair.First.Row is { State: "dropped", DroppedByPerson: 0 } && pair.Second.OpenedOn.DayNumber - pair.First.EndedOn!.Value.DayNumber <= 28)
            .ToList();
        output.WriteLine($"{flaps.Count} of {year.Checks.Count} checks came back within four weeks of being dropped.");
        Assert.Empty(flaps.Select(pair => $"{pair.First}\n{pair.Second}"));
    }

    [Fact]
    public void NothingWanted_isLost() => Assert.Empty(year.Lost);

    [Theory]
    [MemberData(nameof(Promises))]
    public void Telling_keepsItsPromises(string promise) =>
        Assert.Empty(year.Wrong[promise].Take(5).Select(row => string.Join(" | ", row)));

    public static TheoryData<string> Promises => [.. YearQuestions.Wrong.Keys];

    [Fact]
    public void LogOfTelling_isReadable()
    {
        foreach (var (what, rows) in year.Told)
            output.WriteLine($"{what}:{string.Concat(rows.Take(40).Select(row => $"{Environment.NewLine}    {string.Join(" | ", row)}"))}");
        Assert.All(year.Told.Values, Assert.NotEmpty);
        Assert.All(year.Told["log of one alert"], row => Assert.All(row, word => Assert.False(string.IsNullOrWhiteSpace(word))));
    }

    [Fact]
    public void EveryStep_saysWhy()
    {
        Assert.All(year.Checks.SelectMany(check => check.Steps).Where(step => step.Action != "complete"), step => Assert.False(string.IsNullOrWhiteSpace(step.Note)));
        foreach (var check in year.Checks.OrderByDescending(check => check.Steps.Count).Take(3))
            output.WriteLine(check.ToString());
        foreach (var kind in year.Checks.GroupBy(check => (check.Row.Kind, check.Row.State)).OrderBy(group => group.Key))
            output.WriteLine($"{kind.Key}: {kind.Count()}, {kind.Average(check => check.Steps.Count):0.0} steps each");
    }

    // A visit that was to measure too and did not take place leaves the re-measure to the yard after its day.
    private bool WasLeftToAVisit(CheckLived check) => check.Row.Kind == "remeasure" && year.Checks.Any(visit =>
        visit.Row.HorseId == check.Row.HorseId && visit.Row.Kind is "fit" or "refit" && visit.OpenedOn < check.OpenedOn && !(visit.EndedOn < check.OpenedOn));
}
