using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Assessments;

/// <summary>An invented horse whose back was traced, and a tree made to follow it under a panel of 25 mm.</summary>
internal static class TracedHorse
{
    public const double PanelMm = 25;
    public const double FrontMm = 10;
    public const double LengthMm = 390;
    private static readonly int[] Depths = [30, 60, 90, 120, 150];

    /// <summary>The invented back: depth grows as a power of the offset.</summary>
    private static readonly (int Vertebra, double PositionMm, double Width150Mm, double Power)[] Back = [(8, 0, 272, 1.55), (13, 210, 306, 1.75), (18, 420, 320, 1.95)];

    /// <summary>Measured every four weeks and last a week ago, in a saddle that follows the back as it was first.</summary>
    public static HorseFacts Settled { get; } = Measured(_ => 0);

    /// <summary>The same horse with widths changed by so much at T13, session by session, the other stations in part.</summary>
    public static HorseFacts Measured(Func<int, double> changeMm, int sessions = 8) => Sessions((id, on, i) => Session(id, on, changeMm(i)), sessions);

    /// <summary>The same horse with sessions made one by one.</summary>
    public static HorseFacts Sessions(Func<string, DateOnly, int, SessionFact> make, int sessions = 8) => Larkfield.Blank with
    {
        Sessions = [.. Enumerable.Range(0, sessions).Select(i => make($"s{i}", Larkfield.Today.AddDays(-7 - (28 * (sessions - 1 - i))), i))],
        Phases = [new PhaseFact("p1", new DateOnly(2025, 1, 1), Phase.Steady)],
        Pairings = [Pairing("a")],
    };

    public static SessionFact Session(string id, DateOnly on, double changeMm = 0, double asymmetryPct = double.NaN, double dipMm = 18) => new(
        id, on, ExerciseState.Before,
        [
            .. Back.SelectMany(at => Depths.SelectMany(depth => Enumerable.Range(0, 2).Select(_ => new Reading(Metric.Width(Station.Of(at.Vertebra), depth), WidthAt(at, depth, changeMm))))),
            .. double.IsNaN(asymmetryPct) ? [] : Back.SelectMany(at => new[] { 30, 150 }.Select(depth => new Reading(new Metric(Quantity.Asymmetry, Station.Of(at.Vertebra), depth), asymmetryPct))),
            new Reading(new Metric(Quantity.Dip), dipMm),
            new Reading(new Metric(Quantity.SupportLength), 455),
        ])
    {
        StationPositionsMm = Back.ToDictionary(at => Station.Of(at.Vertebra), at => at.PositionMm),
        Topline = [.. Enumerable.Range(0, 53).Select(i => new PointMm(-50 + (10 * i), ToplineAt(-50 + (10 * i), dipMm)))],
    };

    public static PairingFact Pairing(string id, double openedMm = 0) => Larkfield.Pairing(id, 300) with
    {
        TreeShapes = [Tree($"tree-{id}", new DateOnly(2026, 3, 1), openedMm)],
        TreeFrontFromT8Mm = FrontMm,
        WeeklyMinutes = 240,
    };

    /// <summary>A tree that follows the back under its panel, opened by so much at its outer edges, on each side.</summary>
    public static TreeShapeFact Tree(string id, DateOnly from, double openedMm = 0) => new(id, from, [])
    {
        Stations = [.. Enumerable.Range(0, 7).Select(i => TreeStation(i * LengthMm / 6, openedMm))],
        BearingLengthMm = LengthMm,
        PanelMm = PanelMm,
    };

    public static PairingFact Adjusted(this PairingFact pairing, DateOnly on, AdjustmentKind kind, params ZoneChange[] zones) =>
        pairing with { Adjustments = [.. pairing.Adjustments, new AdjustmentFact($"j{pairing.Adjustments.Count}", on, kind, zones)] };

    /// <summary>The same change in a zone on both sides.</summary>
    public static ZoneChange[] Both(Zone zone, double mm) => [new(Side.Left, zone, mm), new(Side.Right, zone, mm)];

    private static double WidthAt((int Vertebra, double PositionMm, double Width150Mm, double Power) at, double depthMm, double changeMm)
    {
        var share = at.Vertebra switch { 8 => .9, 13 => 1, _ => .6 };
        return (at.Width150Mm + (share * changeMm)) * Math.Pow(depthMm / 150, 1 / at.Power);
    }

    private static double ToplineAt(double x, double dipMm) => x is > 0 and < 420 ? 4 * dipMm * x * (420 - x) / (420 * 420) : 0;

    private static TreeStation TreeStation(double fromFrontMm, double openedMm)
    {
        var position = FrontMm + fromFrontMm;
        var after = Math.Min(1, (int)(position / 210));
        var share = (position - Back[after].PositionMm) / 210;
        var (width, power) = (double.Lerp(Back[after].Width150Mm, Back[after + 1].Width150Mm, share), double.Lerp(Back[after].Power, Back[after + 1].Power, share));
        PointMm[] face = [.. Enumerable.Range(0, 12).Select(i => Above(38 + (7.5 * i)))];
        var side = new TreeSide(face[0].X, face[^1].X - face[0].X, face[0].Y, [.. face.Select(point => new PointMm(point.X - face[0].X, point.Y - face[0].Y))]);
        var opened = side.Opened(openedMm, 65);
        return new TreeStation(fromFrontMm, fromFrontMm == 0 ? 78 : 62, opened, opened);

        // The tree lies a panel's thickness off the skin, outwards and up.
        PointMm Above(double offset)
        {
            double Depth(double s) => ToplineAt(position, 18) + (150 * Math.Pow(2 * s / width, power));
            var slope = (Depth(offset + .01) - Depth(offset - .01)) / .02;
            var length = Math.Sqrt(1 + (slope * slope));
            return new PointMm(offset + (PanelMm * slope / length), Depth(offset) - (PanelMm / length));
        }
    }
}
