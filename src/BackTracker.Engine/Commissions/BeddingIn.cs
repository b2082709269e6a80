namespace BackTracker.Engine.Commissions;

/// <summary>A look at a new saddle while its panel beds in: after so many ridden hours, or on a day, whichever comes first.</summary>
/// <param name="RiddenHours">Ridden hours since delivery.</param>
/// <param name="LatestOn">The day by which it is due whatever was ridden.</param>
/// <param name="ExpectedOn">The day on which the hours are expected to be ridden, no later than <paramref name="LatestOn"/>.</param>
public readonly record struct BeddingInLook(double RiddenHours, DateOnly LatestOn, DateOnly ExpectedOn);

/// <summary>Room over the spine of a new saddle, as it was found.</summary>
/// <param name="RiddenHours">Ridden hours since delivery, 0 or more.</param>
/// <param name="Mm">Room, mm.</param>
public readonly record struct DatedClearance(double RiddenHours, double Mm);

/// <summary>How far a panel has packed down and how far it still will.</summary>
/// <param name="PackedMm">Since delivery, mm; more is lower.</param>
/// <param name="StillToComeMm">Expected still, mm.</param>
/// <param name="RestMm">Room over the spine when all is done, mm.</param>
public readonly record struct PanelSettlement(double PackedMm, double StillToComeMm, double RestMm);

/// <summary>
/// The first hours of a finished saddle. It is looked at after 10 and after 20 ridden hours, or after 6 and 12 weeks, and once more at 26
/// weeks (guidance of trade bodies gives 10 and 20 hours and 2 to 6 months; the weeks are ours).
/// </summary>
public static class BeddingIn
{
    /// <summary>What is still to come below this is settled, mm (common practice, no source).</summary>
    public const double SettledMm = 1;

    /// <summary>Ridden hours before which no saddle counts as settled.</summary>
    public const double LeastHours = 20;

    private static readonly (double Hours, int Weeks)[] Looks = [(10, 6), (20, 12), (60, 26)];

    // How many hours it takes a panel to pack down by two thirds is not known: all of these are tried.
    private static readonly double[] PackingHours = [4, 6, 9, 13, 20];

    /// <summary>The looks that a saddle is due, in order.</summary>
    /// <param name="deliveredOn">Day of delivery.</param>
    /// <param name="weeklyMinutes">Ridden minutes a week; 0 where nobody rides in it or nobody said.</param>
    public static IReadOnlyList<BeddingInLook> Plan(DateOnly deliveredOn, int weeklyMinutes) =>
    [
        .. Looks.Select(look =>
        {
            var latest = deliveredOn.AddDays(7 * look.Weeks);
            var days = weeklyMinutes > 0 ? look.Hours * 60 / weeklyMinutes * 7 : double.PositiveInfinity;
            return new BeddingInLook(look.Hours, latest, days < 7 * look.Weeks ? deliveredOn.AddDays((int)Math.Ceiling(days)) : latest);
        }),
    ];

    /// <summary>
    /// How the panel settles, from clearances found at different hours: room = rest + still to come · e^(−hours/packing), by least squares over the
    /// packing hours that fit best. Null with fewer than three clearances, or where no hours lie between them: two points tell no curve.
    /// </summary>
    /// <param name="clearances">In any order.</param>
    public static PanelSettlement? Settlement(IReadOnlyList<DatedClearance> clearances)
    {
        ArgumentNullException.ThrowIfNull(clearances);
        if (clearances.Select(clearance => clearance.RiddenHours).Distinct().Count() < 3)
            return null;
        var hours = clearances.Max(clearance => clearance.RiddenHours);
        var best = PackingHours.Select(packing => Line(clearances, packing)).MinBy(line => line.SquaresMm2);
        // A panel packs down; one that seems to rise is one that has settled.
        var drop = Math.Max(0, best.DropMm);
        var left = drop * Math.Exp(-hours / best.PackingHours);
        return new PanelSettlement(drop - left, left, drop > 0 ? best.RestMm : clearances.Average(clearance => clearance.Mm));
    }

    /// <summary>Whether a saddle is bedded in: ridden long enough, and next to nothing still to come.</summary>
    /// <param name="clearances">In any order.</param>
    public static bool IsSettled(IReadOnlyList<DatedClearance> clearances) =>
        Settlement(clearances) is { StillToComeMm: < SettledMm } && clearances.Max(clearance => clearance.RiddenHours) >= LeastHours;

    private static (double PackingHours, double RestMm, double DropMm, double SquaresMm2) Line(IReadOnlyList<DatedClearance> clearances, double packing)
    {
        double[] shares = [.. clearances.Select(clearance => Math.Exp(-clearance.RiddenHours / packing))];
        var (shareMean, roomMean) = (shares.Average(), clearances.Average(clearance => clearance.Mm));
        var (cross, square) = (0.0, 0.0);
        for (var i = 0; i < shares.Length; i++)
        {
            cross += (shares[i] - shareMean) * (clearances[i].Mm - roomMean);
            square += (shares[i] - shareMean) * (shares[i] - shareMean);
        }
        var drop = cross / square;
        var rest = roomMean - (drop * shareMean);
        return (packing, rest, drop, shares.Select((share, i) => clearances[i].Mm - rest - (drop * share)).Sum(off => off * off));
    }
}
