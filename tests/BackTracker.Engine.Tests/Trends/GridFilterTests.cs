using BackTracker.Engine.Trends;
using CsCheck;

namespace BackTracker.Engine.Tests.Trends;

/// <summary>The fast filter over a grid, the general filter, and the dense solution held against each other; the last points no case tests.</summary>
public class GridFilterTests
{
    private static readonly SurpriseModel AllSurprises = new(new(.03, 15), new(.01, 10), new(.03, .15));

    private static readonly Gen<(ObservationRow[] Rows, RateKick[] Kicks)> Problems = Gen.Select(
        Gen.Select(Gen.Int[0, 900], Gen.Double[270, 340], Gen.Double[.5, 6], Gen.Double[0, 1]).Array[1, 20],
        Gen.Int[-50, 950].Array[0, 5])
        .Select((rows, kicks) => (
            rows.OrderBy(row => row.Item1).Select(row => new ObservationRow(row.Item1, row.Item2, row.Item3, row.Item4)).ToArray(),
            kicks.Select(day => new RateKick(day, .15)).ToArray()));

    [Fact]
    public void Run_equals_the_general_filter_in_every_state() => Problems.Sample(problem =>
    {
        var model = Model(AllSurprises, [new(.012, 30, 1, 0), new(.12, 30, 3, -1), new(.04, 190, 1.8, 1)]);

        var posterior = GridFilter.Run(model, problem.Rows, problem.Kicks);

        foreach (var state in posterior.States)
        {
            var general = General(model, state.Point, problem.Rows, problem.Kicks);
            AssertSame(general, state);
            var day = problem.Rows[^1].Day + 77;
            var (mean, var) = general.Forecast(day, [1, 0, 0, Math.Cos(2 * Math.PI * day / 365.25), Math.Sin(2 * Math.PI * day / 365.25)]);
            var (fastMean, fastVar) = posterior.StateOn(state, day).LevelIn(Season.On(day));
            Assert.Equal(mean, fastMean, 1e-10 * Math.Abs(mean));
            Assert.Equal(var, fastVar, 1e-10 * (1 + var));
        }
    });

    [Fact]
    public void Run_weights_follow_likelihood_and_prior() => Problems.Sample(problem =>
    {
        var model = Model(AllSurprises, [new(.012, 30, 1, -1), new(.05, 75, 1.8, 0), new(.12, 190, 3, -2)]);

        var posterior = GridFilter.Run(model, problem.Rows, problem.Kicks);

        var logs = model.Points.Select(point => point.LogPrior + General(model, point, problem.Rows, problem.Kicks).LogLikelihood).ToArray();
        var weights = logs.Select(log => Math.Exp(log - logs.Max())).ToArray();
        var kept = weights.Select(weight => weight / weights.Sum()).Select(weight => weight >= 1e-6 ? weight : 0).ToArray();
        foreach (var state in posterior.States)
            Assert.Equal(kept[state.Index] / kept.Sum(), state.Weight, 1e-9);
        Assert.Equal(kept.Count(weight => weight > 0), posterior.States.Count);
    });

    [Fact]
    public void Run_without_surprises_equals_the_dense_Gaussian_solution() => Problems.Sample(problem =>
    {
        var point = new GridPoint(.03, 75, 1.8, 0);
        var days = problem.Rows.Select(row => row.Day - problem.Rows[0].Day).ToArray();
        var rows = problem.Rows.Select((row, i) => row with { Day = days[i] }).ToArray();
        var seasons = days.Select(day => (Cos: Math.Cos(2 * Math.PI * day / 365.25), Sin: Math.Sin(2 * Math.PI * day / 365.25))).ToArray();
        var dense = new DenseTrend(75, 2 * .03 * .03 / 75, 900, .03 * .03).Level(
            300, days, [.. rows.Select(row => row.Value)], [.. rows.Select(row => row.NoiseVar + 1.8 * 1.8)],
            [.. rows.Select((row, i) => new[] { row.BiasShare, seasons[i].Cos, seasons[i].Sin })], [4, 4, 4], days[^1] + 56);

        var posterior = GridFilter.Run(Model(default, [point]), rows, []);

        // The dense solution leaves the season out: so does the state.
        var general = General(Model(default, [point]), point, rows, []);
        Assert.Equal(dense.LogLikelihood, general.LogLikelihood, 1e-8);
        var (level, var) = general.Forecast(days[^1] + 56, [1, 0, 0, 0, 0]);
        Assert.Equal(dense.Level, level, 1e-7);
        Assert.Equal(dense.Var, var, 1e-7);
        AssertSame(general, posterior.States[0]);
    });

    [Fact]
    public void Run_kick_before_the_first_observation_does_nothing() => Problems.Sample(problem =>
    {
        var model = Model(AllSurprises, [new(.03, 75, 1.8, 0)]);
        var inside = problem.Kicks.Where(kick => kick.Day >= problem.Rows[0].Day).ToArray();

        var with = GridFilter.Run(model, problem.Rows, [.. inside, new RateKick(problem.Rows[0].Day - 1, 5)]);
        var without = GridFilter.Run(model, problem.Rows, inside);

        Assert.Equal(without.States[0], with.States[0]);
    });

    [Fact]
    public void Run_kick_on_the_day_of_an_observation_comes_before_it()
    {
        var model = Model(AllSurprises, [new(.03, 75, 1.8, 0)]);
        ObservationRow[] rows = [new(0, 300, 2, 0), new(30, 302, 2, 0), new(60, 309, 2, 0)];

        var onTheDay = GridFilter.Run(model, rows, [new RateKick(30, .15)]);
        // A millionth of a day before: the same but for rounding; a millionth after would leave the kick out of the observation's gain.
        var justBefore = GridFilter.Run(model, rows, [new RateKick(30 - 1e-9, .15)]);
        // The kink's span starts anew at the event, so with surprises the day after differs.
        var dayAfter = GridFilter.Run(model, rows, [new RateKick(31, .15)]);

        Assert.Equal(justBefore.States[0].Level, onTheDay.States[0].Level, 1e-7);
        Assert.Equal(justBefore.States[0].RateVar, onTheDay.States[0].RateVar, 1e-9);
        Assert.NotEqual(dayAfter.States[0].RateVar, onTheDay.States[0].RateVar, 1e-6);
    }

    [Fact]
    public void Run_kick_on_the_first_day_widens_the_prior_of_the_rate()
    {
        ObservationRow[] rows = [new(10, 300, 2, 0)];

        var kicked = GridFilter.Run(Model(default, [new(.03, 75, 1.8, 0)]), rows, [new RateKick(10, .15)]);

        Assert.Equal(.03 * .03 + .15 * .15, kicked.States[0].RateVar, 1e-15);
    }

    /// <summary>The moments by hand: an event five days before an observation, then the collapse of a normal and a kink over those five days.</summary>
    [Fact]
    public void Run_event_and_kink_together_count_the_kink_from_the_event()
    {
        const double Gap = 5, Kick = .2, Kink = .15, Probability = .3;
        var surprises = new SurpriseModel(default, default, new Surprise(Probability, Kink));
        var model = Model(surprises, [new(.03, 75, 1.8, 0)]) with { BiasSd = 0, SeasonSd = 0 };
        ObservationRow[] rows = [new(0, 300, 2, 0), new(40, 306, 2, 0)];

        var with = GridFilter.Run(model, rows, [new RateKick(40 - Gap, Kick)]).States[0];

        var start = GridFilter.Run(model, rows[..1], []).States[0].State;
        var point = model.Points[0];
        var before = start.After(Transition.Over(40 - Gap, 75), point.DrivingVar).Kicked(Kick * Kick).After(Transition.Over(Gap, 75), point.DrivingVar);
        var k = Kink * Kink;
        var plain = Update(before, 306, 2 + 1.8 * 1.8);
        var kinked = Update(before with { LL = before.LL + k * Gap * Gap / 3, LS = before.LS + k * Gap / 2, SS = before.SS + k }, 306, 2 + 1.8 * 1.8);
        var share = Probability * kinked.Density / (Probability * kinked.Density + (1 - Probability) * plain.Density);
        var mean = share * kinked.S + (1 - share) * plain.S;
        Assert.Equal(mean, with.Rate, 1e-12);
        var var = share * (kinked.SS + (kinked.S - mean) * (kinked.S - mean)) + (1 - share) * (plain.SS + (plain.S - mean) * (plain.S - mean));
        Assert.Equal(var, with.RateVar, 1e-12);
    }

    [Fact]
    public void Run_flat_level_in_the_general_filter_equals_an_ever_wider_one() => Problems.Sample(problem =>
    {
        var model = Model(AllSurprises, [new(.03, 75, 1.8, 0)]);

        var flat = General(model, model.Points[0], problem.Rows, problem.Kicks, double.PositiveInfinity);
        var wide = General(model, model.Points[0], problem.Rows, problem.Kicks, 1e11);

        for (var i = 0; i < 5; i++)
        {
            Assert.Equal(wide.State[i], flat.State[i], 1e-4);
            for (var j = 0; j < 5; j++)
                Assert.Equal(wide.Covariance(i, j), flat.Covariance(i, j), 1e-3);
        }
        // The first observation has density 1/sqrt(2 pi 1e11) in the limit.
        Assert.Equal(wide.LogLikelihood + .5 * Math.Log(2 * Math.PI * 1e11), flat.LogLikelihood, 1e-4);
    });

    private static (double S, double SS, double Density) Update(FiveStates state, double value, double noiseVar)
    {
        var (spread, miss) = (state.LL + noiseVar, value - state.L);
        return (
            state.S + state.LS / spread * miss,
            state.SS - state.LS * state.LS / spread,
            Math.Exp(-.5 * miss * miss / spread) / Math.Sqrt(spread));
    }

    private static void AssertSame(RobustPass general, GridState state)
    {
        var s = state.State;
        double[] means = [s.L, s.S, s.B, s.C, s.N];
        double[][] covs =
        [
            [s.LL, s.LS, s.LB, s.LC, s.LN], [s.LS, s.SS, s.SB, s.SC, s.SN], [s.LB, s.SB, s.BB, s.BC, s.BN],
            [s.LC, s.SC, s.BC, s.CC, s.CN], [s.LN, s.SN, s.BN, s.CN, s.NN],
        ];
        for (var i = 0; i < 5; i++)
        {
            Assert.Equal(general.State[i], means[i], 1e-10 * (1 + Math.Abs(means[i])));
            for (var j = 0; j < 5; j++)
                Assert.Equal(general.Covariance(i, j), covs[i][j], 1e-10 * (1 + Math.Abs(covs[i][j])));
        }
    }

    private static GridModel Model(SurpriseModel surprises, GridPoint[] points) =>
        new() { Points = points, LevelMean = 300, LevelSd = 30, BiasSd = 2, SeasonSd = 2, Surprises = surprises };

    private static RobustPass General(
        GridModel model, GridPoint point, ObservationRow[] rows, RateKick[] kicks, double levelVar = 900)
    {
        var settings = new RobustSettings
        {
            DrivingVar = 2 * point.RateSd * point.RateSd / point.TauDays,
            RateVar = point.RateSd * point.RateSd,
            TauDays = point.TauDays,
            LevelMean = 300,
            LevelVar = levelVar,
            StaticVars = [4, 4, 4],
            Surprises = model.Surprises,
        };
        return RobustFilter.Run(
            settings,
            [.. rows.Select(row => new RobustObservation(
                row.Day, row.Value, row.NoiseVar + point.SessionSd * point.SessionSd,
                [row.BiasShare, Math.Cos(2 * Math.PI * row.Day / 365.25), Math.Sin(2 * Math.PI * row.Day / 365.25)]))],
            [.. kicks.Select(kick => new RateChange(kick.Day, 0, kick.Sd))]);
    }
}
