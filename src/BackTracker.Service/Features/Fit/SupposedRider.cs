using BackTracker.Engine.Fit;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Fit;

/// <summary>Who was asked to sit in the saddle, and how.</summary>
/// <param name="WeightKg">The rider's weight, kg; null for the one of the pairing.</param>
/// <param name="GirthN">How hard the girth pulls down, N.</param>
/// <param name="RightMm">How far off the middle the rider sits, mm, + = right.</param>
internal readonly record struct SupposedRider(double? WeightKg, double GirthN, double RightMm)
{
    public static readonly (int Least, int Most) WeightRangeKg = (10, 200);
    public static readonly (int Least, int Most) GirthRangeN = (0, 1000);
    public static readonly (int Least, int Most) RightRangeMm = (-60, 60);

    /// <summary>The one of the pairing, in the middle, without a girth.</summary>
    public static SupposedRider Usual => default;

    /// <summary>Reads what was asked.</summary>
    /// <exception cref="ProblemException">It is no rider's.</exception>
    public static SupposedRider Asked(double? riderWeightKg, double? girthN, double? riderRightMm) => new(
        riderWeightKg is { } weight ? Within("riderWeightKg", weight, WeightRangeKg) : null, Within("girthN", girthN ?? 0, GirthRangeN), Within("riderRightMm", riderRightMm ?? 0, RightRangeMm));

    /// <summary>What presses the saddle down.</summary>
    public RiderLoad LoadOn(KnownPairing known) => new((WeightKg ?? known.Row.RiderWeightKg) is { } rider ? rider + (known.Row.TackWeightKg ?? 0) : RiderLoad.AssumedKg, GirthN, RightMm);

    /// <summary>What would tell more of it.</summary>
    public IEnumerable<string> MissingOf(KnownPairing known) => WeightKg is null && known.Row.RiderWeightKg is null
        ? [$"Say what the rider weighs: {RiderLoad.AssumedKg:0} kg were taken for rider and tack."]
        : [];

    private static double Within(string name, double value, (int Least, int Most) range) => value >= range.Least && value <= range.Most
        ? value
        : throw new ProblemException(ProblemKind.BadQuery, $"{name} is a number from {range.Least} to {range.Most}.");
}
