using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Muscle;

/// <summary>
/// Learns how a measure of the back goes with weight and condition: least squares on what each horse's sessions differ by from that horse's own mean, corrected for
/// the errors of weighing and scoring (method of moments: Fuller 1987, Measurement Error Models), with errors that count horses and not sessions (sandwich
/// over horses: Liang and Zeger 1986, Biometrika 73:13-22; from memory), then drawn towards no share at all.
/// </summary>
internal static class WeightRegression
{
    private const int LeastSessions = 4;

    // Share of what weight is seen to move that must be more than the error of weighing; the rest would be guessed.
    private const double LeastReliability = .5;

    // Beyond this, weight and condition go together too closely to be told apart.
    private const double MostCollinear = .9;

    // Before anything is learned a kg moves a measure by 0 give or take a twentieth of its within-session SD (.1 mm of a width), a point of condition by 2.5 of them.
    private const double PriorSdPerKg = .05;
    private const double PriorSdPerPoint = 2.5;

    // Horses differ: by a third of the share from one to the next.
    private const double FromHorseToHorse = 1 / 3.0;

    private static readonly double KgVar = Squared(new Metric(Quantity.Weight).StartingSessionSd);
    private static readonly double PointVar = Squared(new Metric(Quantity.ConditionScore1to9).StartingSessionSd);

    /// <summary>The share, or why none was learned.</summary>
    /// <param name="metric">The measure.</param>
    /// <param name="basis">By what.</param>
    /// <param name="horses">The sessions of each horse.</param>
    /// <param name="leastHorses">How many horses it takes.</param>
    public static (WeightShare? Share, RefusedShare? Refused) Of(Metric metric, WeightBasis basis, IEnumerable<IReadOnlyList<WeighedReading>> horses, int leastHorses)
    {
        Deviations[] own = [.. horses.Select(readings => Usable(readings, basis)).Where(readings => readings.Length >= LeastSessions).Select(readings => new Deviations(readings, basis))];
        if (own.Length < leastHorses)
            return (null, new RefusedShare(metric, basis, own.Length, ShareRefusal.TooFewHorses));
        var seen = own.Aggregate(default(Moments), (sum, horse) => sum + horse.Seen);
        var errors = own.Sum(horse => horse.Count - 1);
        var real = seen with { KgKg = seen.KgKg - (errors * KgVar), PointPoint = seen.PointPoint - (basis == WeightBasis.Weight ? 0 : errors * PointVar) };
        return Moves(seen, real, basis)
            ? (Shrunk(metric, basis, own, real), null)
            : (null, new RefusedShare(metric, basis, own.Length, ShareRefusal.HardlyMoved));
    }

    private static WeighedReading[] Usable(IReadOnlyList<WeighedReading> readings, WeightBasis basis) =>
        [.. readings.Where(reading => basis == WeightBasis.Weight || !double.IsNaN(reading.Points))];

    private static bool Moves(Moments seen, Moments real, WeightBasis basis) =>
        real.KgKg > LeastReliability * seen.KgKg
        && (basis == WeightBasis.Weight
            || (real.PointPoint > LeastReliability * seen.PointPoint && Squared(real.KgPoint) < Squared(MostCollinear) * real.KgKg * real.PointPoint));

    private static WeightShare Shrunk(Metric metric, WeightBasis basis, Deviations[] horses, Moments real)
    {
        // Without condition its row and column are those of a variable that is not there.
        var inverse = new Symmetric2(real.KgKg, real.KgPoint, basis == WeightBasis.Weight ? 1 : real.PointPoint).Inverse();
        var (perKg, perPoint) = inverse.Times(real.KgValue, real.PointValue);
        var spread = default(Symmetric2);
        foreach (var horse in horses)
            spread += Symmetric2.Outer(horse.Score(perKg, perPoint, KgVar, basis == WeightBasis.Weight ? 0 : PointVar));
        var var = inverse.Sandwich(spread.Scaled(horses.Length / (horses.Length - 1.0)));
        var unit = metric.StartingSessionSd;
        var prior = new Symmetric2(Squared(PriorSdPerKg * unit), 0, Squared(PriorSdPerPoint * unit));
        // Mean and variance of normal prior and normal estimate together: P (P + V)^-1 b and P - P (P + V)^-1 P.
        var weight = (prior + var).Inverse();
        var (kg, points) = weight.Times(perKg, perPoint);
        (perKg, perPoint) = prior.Times(kg, points);
        var left = prior + prior.Sandwich(weight).Scaled(-1);
        var withoutCondition = basis == WeightBasis.Weight;
        return new WeightShare(
            metric, basis, horses.Length, perKg, withoutCondition ? 0 : perPoint, left.A + Squared(FromHorseToHorse * perKg),
            withoutCondition ? 0 : left.C + Squared(FromHorseToHorse * perPoint), withoutCondition ? 0 : left.B);
    }

    private static double Squared(double value) => value * value;

    /// <summary>Sums of squares and products of what sessions differ by from their horse's mean.</summary>
    private readonly record struct Moments(double KgKg, double KgPoint, double PointPoint, double KgValue, double PointValue)
    {
        public static Moments operator +(Moments a, Moments b) =>
            new(a.KgKg + b.KgKg, a.KgPoint + b.KgPoint, a.PointPoint + b.PointPoint, a.KgValue + b.KgValue, a.PointValue + b.PointValue);
    }

    /// <summary>One horse about its own mean.</summary>
    private sealed class Deviations
    {
        public Deviations(WeighedReading[] readings, WeightBasis basis)
        {
            Count = readings.Length;
            var (value, kg) = (readings.Average(reading => reading.Value), readings.Average(reading => reading.Kg));
            var points = basis == WeightBasis.Weight ? 0 : readings.Average(reading => reading.Points);
            foreach (var reading in readings)
            {
                var (v, k, p) = (reading.Value - value, reading.Kg - kg, basis == WeightBasis.Weight ? 0 : reading.Points - points);
                Seen += new Moments(k * k, k * p, p * p, k * v, p * v);
            }
        }

        public int Count { get; }

        public Moments Seen { get; }

        /// <summary>What the horse alone would have the coefficients moved by; over all horses it sums to zero.</summary>
        public (double Kg, double Point) Score(double perKg, double perPoint, double kgVar, double pointVar) => (
            Seen.KgValue - (Seen.KgKg * perKg) - (Seen.KgPoint * perPoint) + ((Count - 1) * kgVar * perKg),
            Seen.PointValue - (Seen.KgPoint * perKg) - (Seen.PointPoint * perPoint) + ((Count - 1) * pointVar * perPoint));
    }
}
