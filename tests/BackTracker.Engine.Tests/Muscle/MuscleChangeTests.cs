using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Muscle;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Muscle;

/// <summary>Horses that are made so that it is known what of their profile is weight.</summary>
public sealed class MuscleChangeTests(ITestOutputHelper output)
{
    private const double PerKg = .12;
    private const double PerPoint = 3;
    private static readonly DateOnly First = new(2025, 3, 3);
    private static readonly Metric Width = Metric.Width(Station.Of(8), 150);
    private static readonly Metric Weight = new(Quantity.Weight);
    private static readonly Metric Condition = new(Quantity.ConditionScore1to9);
    private static readonly LearnedPriors Learned = Learn(60);

    [Fact]
    public void Learn_herdWhoseWidthsGoWithWeight_findsTheShareDespiteTheErrorsOfWeighing()
    {
        var (alone, both) = (Learned.WeightShares.Single(share => share.Basis == WeightBasis.Weight), Learned.WeightShares.Single(share => share.Basis == WeightBasis.WeightAndCondition));

        output.WriteLine($"{alone}\n{both}");
        Assert.Equal((60, 60), (alone.Horses, both.Horses));
        Assert.InRange(both.PerKg, PerKg - .03, PerKg + .03);
        Assert.InRange(both.PerPoint, PerPoint - 1, PerPoint + 1);
        // Without the score, weight stands for both: they go together here by a point for 40 kg.
        Assert.InRange(alone.PerKg, PerKg, PerKg + (PerPoint / 40) + .03);
    }

    [Fact]
    public void Learn_fromThirtyNineHorsesOrHorsesOfConstantWeight_refuses()
    {
        Assert.All(Learn(39).RefusedShares, refused => Assert.Equal((39, ShareRefusal.TooFewHorses), (refused.Horses, refused.Why)));
        Assert.All(Learn(50, swing: 0).RefusedShares, refused => Assert.Equal(ShareRefusal.HardlyMoved, refused.Why));
        Assert.Equal((2, 0, 2), (Learn(39).RefusedShares.Count, Learn(39).WeightShares.Count, Learn(50, swing: 0).RefusedShares.Count));
    }

    [Theory]
    [InlineData(0.0, 0.0, MuscleDirection.Holding, MuscleDirection.Unclear)]
    [InlineData(.3, .15, MuscleDirection.Gaining, MuscleDirection.Gaining)]
    [InlineData(0.0, .15, MuscleDirection.Gaining, MuscleDirection.Gaining)]
    [InlineData(0.0, -.15, MuscleDirection.Losing, MuscleDirection.Losing)]
    [InlineData(.3, -.15, MuscleDirection.Losing, MuscleDirection.Losing)]
    public void Of_aHorseWithKnownTruth_tellsWeightFromTheRest(double kgPerDay, double mmPerDay, MuscleDirection expected, MuscleDirection orElse)
    {
        var horse = Horse(new Random(3), day => kgPerDay * day, day => mmPerDay * day);

        var change = Assert.Single(MuscleChanges.Of(new HorseTrends(horse, TrendModel.Shipped.With(Learned))));

        output.WriteLine(change.ToString());
        Assert.True(change.Direction == expected || change.Direction == orElse, $"{change}");
        Assert.Equal(WeightBasis.WeightAndCondition, change.Rate!.Basis);
        Assert.InRange(change.Rate.PerFourWeeks, (28 * mmPerDay) - 2, (28 * mmPerDay) + 2);
    }

    // The width itself grows plainly; all of it is weight.
    [Fact]
    public void Of_aHorseThatOnlyPutsOnWeight_growsInProfileAndNotInMuscle()
    {
        var change = Assert.Single(MuscleChanges.Of(new HorseTrends(Horse(new Random(5), day => .6 * day, _ => 0), TrendModel.Shipped.With(Learned))));

        output.WriteLine(change.ToString());
        Assert.Equal(TrendDirection.Rising, change.Profile);
        Assert.True(change.Direction is MuscleDirection.Holding or MuscleDirection.Unclear);
        Assert.True(change.Rate!.WithWeightPerFourWeeks > 1.5);
    }

    [Fact]
    public void Of_untilTheShareIsLearned_isNeverGainingOrLosing()
    {
        foreach (var mmPerDay in new[] { -.1, 0, .1 })
        {
            var change = Assert.Single(MuscleChanges.Of(new HorseTrends(Horse(new Random(3), _ => 0, day => mmPerDay * day), TrendModel.Shipped)));
            Assert.Equal((MuscleDirection.NotSeparated, WeightGap.NotLearned, (RemainderRate?)null), (change.Direction, change.Gap, change.Rate));
        }
    }

    [Fact]
    public void Of_aHorseThatWasNotWeighedLatelyOrScored_saysSoOrGoesByWeightAlone()
    {
        var horse = Horse(new Random(3), _ => 0, day => .1 * day);
        var model = TrendModel.Shipped.With(Learned);
        HorseFacts Without(Metric metric, int lastSessions) => horse with
        {
            Sessions = [.. horse.Sessions.Select((session, i) => i < horse.Sessions.Count - lastSessions ? session : session with { Readings = [.. session.Readings.Where(reading => reading.Metric != metric)] })],
        };

        Assert.Equal(WeightGap.NotWeighed, Assert.Single(MuscleChanges.Of(new HorseTrends(Without(Weight, 4), model))).Gap);
        Assert.Equal(WeightBasis.Weight, Assert.Single(MuscleChanges.Of(new HorseTrends(Without(Condition, 100), model))).Rate!.Basis);
    }

    [Fact]
    public void Of_aHorseWhoseSidesAreKnown_tellsEachSide()
    {
        var horse = Horse(new Random(3), _ => 0, day => .1 * day);
        var halves = horse with { Sessions = [.. horse.Sessions.Select(session => session with { Readings = [.. session.Readings, .. Halves(session)] })] };

        var changes = MuscleChanges.Of(new HorseTrends(halves, TrendModel.Shipped));

        Assert.Equal([Side.Left, Side.Right], changes.Select(change => change.Side));
    }

    private static IEnumerable<Reading> Halves(SessionFact session)
    {
        var half = session.Readings.First(reading => reading.Metric == Width).Value / 2;
        return [new(new Metric(Quantity.HalfLeft, Station.Of(8), 150), half), new(new Metric(Quantity.HalfRight, Station.Of(8), 150), half)];
    }

    private static LearnedPriors Learn(int count, double swing = 40)
    {
        var (random, study) = (new Random(17), new PriorStudy(TrendModel.Shipped));
        for (var horse = 0; horse < count; horse++)
        {
            var (phase, own, drift) = (random.NextDouble() * 6, swing * (.5 + random.NextDouble()), .02 * Gauss(random));
            study.Add(Horse(random, day => own * Math.Sin((2 * Math.PI * day / 365) + phase), day => drift * day));
        }
        return study.Learn("test");
    }

    /// <summary>Thirty sessions a fortnight apart; a point of condition goes with 40 kg, and has a life of its own.</summary>
    private static HorseFacts Horse(Random random, Func<double, double> kgOn, Func<double, double> muscleOn)
    {
        var sessions = new List<SessionFact>();
        for (var i = 0; i < 30; i++)
        {
            var kg = kgOn(14 * i);
            var points = (kg / 40) + (.8 * Math.Sin(i / 4.0));
            var width = 300 + muscleOn(14 * i) + (PerKg * kg) + (PerPoint * points) + (1.5 * Gauss(random));
            sessions.Add(new SessionFact($"s{i:00}", First.AddDays(14 * i), ExerciseState.Before,
            [
                new(Width, width + 1.4), new(Width, width - 1.4), new(Weight, 500 + kg + (10 * Gauss(random))), new(Condition, 5 + points + (.3 * Gauss(random))),
            ]));
        }
        return Larkfield.Blank with { Sessions = sessions };
    }

    private static double Gauss(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
