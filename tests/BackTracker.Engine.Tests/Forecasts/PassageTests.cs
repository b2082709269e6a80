using System.Text.Json.Nodes;
using BackTracker.Engine.Forecasts;
using BackTracker.Engine.Tests.Published;

namespace BackTracker.Engine.Tests.Forecasts;

public class PassageTests
{
    private static readonly double[] Days = [0, 3, 28, 84, 182, 365];

    private static readonly MovingLevel Drifting = new(303, .06, 3, .03, .0015, 2 * .05 * .05 / 90, 90);

    [Theory]
    [InlineData("f01_centre_calm")]
    [InlineData("f02_drifting_up")]
    [InlineData("f03_near_edge")]
    [InlineData("f05_already_out")]
    [InlineData("f06_long_memory")]
    [InlineData("f08_asymmetric_one_sided")]
    public void OutBy_a_million_paths_stepped_day_by_day_agree(string name)
    {
        var file = PublishedValues.Read($"../passage/{name}");
        var (input, expected) = (file["input"]!, file["expected"]!.Numbers("probabilityOutBy"));
        var state = input["state"]!;
        var level = new MovingLevel(
            state.Number("level"), state.Number("rate"), state.Number("varLevel"), state.Number("cov"), state.Number("varRate"),
            input.Number("sigma") * input.Number("sigma"), input.Number("tauDays"));

        var told = Passage.OutBy(level, input.Number("low"), input["high"] is JsonValue high ? high.GetValue<double>() : double.PositiveInfinity, input.Numbers("days"));

        Assert.All(told.Zip(expected), pair => Assert.Equal(pair.Second, pair.First, file["tolerance"]!.Number("absolute")));
    }

    [Fact]
    public void OutBy_over_a_mixture_is_the_weighted_sum_over_its_parts()
    {
        (double Weight, MovingLevel Level)[] mixture =
        [
            (.5, Drifting), (.3, Drifting with { Rate = .02, TauDays = 30, DrivingVar = 2 * .02 * .02 / 30 }), (.2, Drifting with { Level = 301, TauDays = 190 }),
        ];

        var told = Passage.OutBy(mixture, 292, 308, Days);

        var parts = mixture.Select(part => Passage.OutBy(part.Level, 292, 308, Days)).ToArray();
        for (var day = 0; day < Days.Length; day++)
            Assert.Equal(mixture.Select((part, i) => part.Weight * parts[i][day]).Sum(), told[day], .004);
    }

    [Theory]
    [InlineData(300, 0, 16, .1, .006, .10, 90)]
    [InlineData(300, 0, 2, 0, .004, .12, 15)]
    [InlineData(307, -.1, 0, 0, 0, .02, 60)]
    public void OutBy_paths_stepped_day_by_day_here_agree(double level, double rate, double levelVar, double cov, double rateVar, double rateSd, double tau)
    {
        var moving = new MovingLevel(level, rate, levelVar, cov, rateVar, 2 * rateSd * rateSd / tau, tau);

        var told = Passage.OutBy(moving, 292, 308, Days);

        var stepped = SteppedDaily.OutBy([moving.Start(1)], 0, new Band(292, 308), 365, 40_000);
        // Three standard errors of the stepped paths come on top of what is allowed.
        for (var i = 0; i < Days.Length; i++)
            Assert.Equal(stepped[(int)Days[i]], told[i], .008 + .0075);
    }

    [Fact]
    public void OutBy_level_that_stands_still_and_is_known_is_in_or_out_for_ever()
    {
        var known = new MovingLevel(300, 0, 0, 0, 0, 0, double.PositiveInfinity);

        Assert.Equal([0, 0], Passage.OutBy(known, 292, 308, [0, 365]));
        Assert.Equal([1, 1], Passage.OutBy(known, 301, 308, [0, 365]));
        Assert.Equal(0, Passage.OutBy(known with { Rate = .1 }, 292, 308, [78])[0], 1e-6);
        Assert.Equal(1, Passage.OutBy(known with { Rate = .1 }, 292, 308, [84])[0], 1e-6);
    }

    [Fact]
    public void OutBy_never_falls_and_is_at_least_the_probability_on_the_day()
    {
        double[] days = [.. Enumerable.Range(0, 367).Select(day => (double)day)];

        var told = Passage.OutBy(Drifting, 292, 308, days);

        Assert.All(told.Zip(told.Skip(1)), pair => Assert.True(pair.Second >= pair.First));
        Assert.All(days.Where(day => day % 3 == 0), day =>
            Assert.True(told[(int)day] >= Passage.OutOn([Drifting.Start(1)], day, new Band(292, 308)) - 1e-12));
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(367)]
    [InlineData(double.NaN)]
    public void OutBy_day_that_is_not_followed_is_refused(double day) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Passage.OutBy(Drifting, 292, 308, [day]));
}
