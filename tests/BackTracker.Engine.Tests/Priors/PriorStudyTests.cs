using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Priors;

public sealed class PriorStudyTests(ITestOutputHelper output)
{
    private static readonly PriorKey Key = new(HorseClass.All, Quantity.Width, PriorContext.NothingRecorded);
    private static readonly DynamicsPrior Lively = new(new(.04, .5), new(75, .5), new(1.6, .4));
    private static readonly DynamicsPrior Quiet = new(new(.004, .1), new(60, .3), new(1.8, .2));

    [Fact]
    public void Learn_aHerdFromAKnownPopulation_comesNearIt()
    {
        // These horses have neither season nor surprises.
        var model = TrendModel.Shipped with { SeasonSd = 1e-6, Surprises = new(new(0, 1), new(0, 1), new(0, 1)) };

        var learned = Assert.Single(Herd.Learn(Herd.Of(7, 400, Lively), model).Priors);

        output.WriteLine(learned.ToString());
        Assert.InRange(learned.Prior.Rate.Median, .035, .045);
        Assert.InRange(learned.Prior.Tau.Median, 60, 95);
        Assert.InRange(learned.Prior.Session.Median, 1.45, 1.75);
        Assert.InRange(learned.Prior.Rate.LogSd, .4, .6);
        Assert.InRange(learned.HeldOut.Cover80, .77, .83);
        Assert.True(learned.HeldOut.LogScore > learned.Shipped.LogScore);
        Assert.Equal((400, 400 / 440.0), (learned.Horses, learned.Weight));
    }

    [Theory, InlineData(39, false), InlineData(40, true)]
    public void Learn_fromFewerThanFortyHorses_learnsNothing(int horses, bool learns)
    {
        var learned = Herd.Learn(Herd.Of(5, horses, Quiet));

        Assert.Equal(learns ? 1 : 0, learned.Priors.Count);
        Assert.Equal(learns ? 1 : 0, learned.SessionSds.Count);
        Assert.Equal(learns ? [] : [new RefusedPrior(Key, 39, PriorRefusal.TooFewHorses)], learned.Refused);
    }

    // A prior from quiet horses alone would have the forecasts of lively ones cover too little; the spread's floor and the share of the shipped
    // prior keep that from happening. The bands of the shipped prior hold .85 of the truth of the 120 horses.
    [Theory, InlineData(40), InlineData(400)]
    public void Learn_fromQuietHorses_isNotTooSureOfLivelyOnes(int horses)
    {
        var (devyard, learned) = (Herd.Devyard(), Herd.Learn(Herd.Of(5, horses, Quiet)));

        var (shipped, cover) = (Herd.Cover(devyard, TrendModel.Shipped), Herd.Cover(devyard, TrendModel.Shipped.With(learned)));

        output.WriteLine($"{horses}: {cover} after {shipped}; {learned.Priors[0]}");
        Assert.InRange(shipped, .83, .88);
        Assert.InRange(cover, .79, shipped);
        Assert.Equal(.4, learned.Priors[0].Prior.Rate.LogSd);
    }

    [Fact]
    public void Learn_fromTheSimulatedYard_keepsItsCoverAndLearnsItsRepeats()
    {
        var devyard = Herd.Devyard();

        var learned = Herd.Learn(devyard.Select(horse => horse.Facts));

        foreach (var prior in learned.Priors)
            output.WriteLine(prior.ToString());
        Assert.Equal([PriorContext.NothingRecorded, PriorContext.EventsRecorded], learned.Priors.Select(prior => prior.Key.Context));
        Assert.Equal(120, learned.Priors.Sum(prior => prior.Horses));
        Assert.Equal(2, Assert.Single(learned.SessionSds).Sd, 1e-9);
        Assert.InRange(Herd.Cover(devyard, TrendModel.Shipped.With(learned)), .8, .88);
    }

    // The same forty horses teach the same thing whether each has one station or three.
    [Fact]
    public void Learn_horsesMeasuredAtSeveralStations_countsEachOnce()
    {
        var herd = Herd.Of(3, 40, Quiet).ToList();
        var thrice = herd.Select(horse => horse with { Sessions = [.. horse.Sessions.Select(session => session with { Readings = [.. session.Readings.SelectMany(AtThree)] })] });

        var (once, three) = (Assert.Single(Herd.Learn(herd).Priors), Assert.Single(Herd.Learn(thrice).Priors));

        Assert.Equal(once.Horses, three.Horses);
        Assert.Equal(once.Prior.Session.Median, three.Prior.Session.Median, 1e-6);
        Assert.Equal(once.HeldOut.LogScore, three.HeldOut.LogScore, 1e-9);
    }

    [Fact]
    public void Learn_horsesOfKnownAge_learnsForTheirClassToo()
    {
        var herd = Herd.Of(3, 45, Quiet).Select(horse => horse with { BornOn = Herd.Origin.AddYears(-1) }).Concat(Herd.Of(4, 45, Lively).Select(horse => horse with { BornOn = Herd.Origin.AddYears(-12) }));

        var learned = Herd.Learn(herd);

        Assert.Equal([(HorseClass.All, 90), (HorseClass.Growing, 45), (HorseClass.Grown, 45)], learned.Priors.Select(prior => (prior.Key.Class, prior.Horses)));
        var model = TrendModel.Shipped.With(learned);
        var series = SeriesBuilder.Build(Herd.Of(9, 1, Lively).Single(), Herd.Width);
        double Sd(HorseClass kind) => MetricTrend.Fit(series with { Points = [.. series.Points.Take(3)], Class = kind }, model).On(series.Points[3].On.AddDays(56)).Sd;
        Assert.True(Sd(HorseClass.Growing) < Sd(HorseClass.All));
        Assert.True(Sd(HorseClass.All) < Sd(HorseClass.Grown));
    }

    [Theory]
    [InlineData(null, HorseClass.All)]
    [InlineData("2020-03-02", HorseClass.Growing)]
    [InlineData("2020-03-01", HorseClass.Grown)]
    public void Class_ofAHorse_goesByItsAgeAtTheLastSession(string? born, HorseClass expected) =>
        Assert.Equal(expected, HorseClasses.Of(born is null ? null : DateOnly.Parse(born, System.Globalization.CultureInfo.InvariantCulture), new DateOnly(2026, 3, 1)));

    [Fact]
    public void With_nothingLearned_isTheShippedModel_andAPartGivesTheNumbersOfTheWhole()
    {
        var learned = Herd.Learn(Herd.Of(5, 60, Lively));
        var series = SeriesBuilder.Build(Herd.Of(9, 1, Lively).Single(), Herd.Width);
        var whole = MetricTrend.Fit(series, TrendModel.Shipped.With(learned));

        Assert.Same(TrendModel.Shipped, TrendModel.Shipped.With(LearnedPriors.None));
        Assert.Equal($"{TrendModel.Shipped.Version}+test", whole.Model.Version);
        Assert.NotEqual(MetricTrend.Fit(series, TrendModel.Shipped).Rate, whole.Rate);
        Assert.Equal(whole.Rate, MetricTrend.Fit(series, TrendModel.Shipped.With(learned.For(Herd.Of(9, 1, Lively).Single()))).Rate);
    }

    // A quantity whose repeats lie half as far apart is the same thing on half the scale.
    [Fact]
    public void With_aLearnedRepeatError_stretchesEverythingAndStartsFromIt()
    {
        var learned = new LearnedPriors { Name = "test", SessionSds = [new(Quantity.Width, 60, 300, 1)] };
        var horse = Herd.Of(9, 1, Lively).Single();
        var half = horse with
        {
            Sessions = [.. horse.Sessions.Select(session => session with { Readings = [.. session.Readings.Select(reading => reading with { Value = 300 + ((reading.Value - 300) / 2) })] })],
            Errors = horse.Errors.StartingFrom(learned),
        };

        var (full, scaled) = (MetricTrend.Fit(SeriesBuilder.Build(horse, Herd.Width), TrendModel.Shipped), MetricTrend.Fit(SeriesBuilder.Build(half, Herd.Width), TrendModel.Shipped.With(learned)));

        Assert.Equal(full.Rate.PerDay / 2, scaled.Rate.PerDay, 1e-12);
        Assert.Equal(full.Rate.StandardError / 2, scaled.Rate.StandardError, 1e-12);
        Assert.Equal(full.LeastRealChange / 2, scaled.LeastRealChange, 1e-12);
    }

    private static IEnumerable<Reading> AtThree(Reading reading) => new[] { 8, 13, 18 }.Select(station => reading with { Metric = Metric.Width(Station.Of(station), 150) });
}
