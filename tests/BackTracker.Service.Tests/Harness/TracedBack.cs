namespace BackTracker.Service.Tests.Harness;

/// <summary>
/// An invented back as it is drawn on a day: at T8, T13 and T18 the depth grows as a power of the offset, and the topline sags between T8
/// and T18. The same numbers always give the same points.
/// </summary>
internal sealed record TracedBack
{
    public const double FrontMm = 10;
    public const double LengthMm = 390;
    public const double PanelMm = 25;

    private static readonly Place[] Places = [new("T8", 0, 272, 1.55, .9), new("T13", 210, 306, 1.75, 1), new("T18", 420, 320, 1.95, .6)];

    /// <summary>How much wider T13 is 150 mm down than the back the tree was made for; T8 by nine tenths of it, T18 by six.</summary>
    public double WiderMm { get; init; }

    /// <summary>Sag of the topline; the tree was made for one of 18 mm.</summary>
    public double DipMm { get; init; } = 18;

    /// <summary>A hollow besides, under the middle two thirds of the panel.</summary>
    public double HollowMm { get; init; }

    /// <summary>Right half less left half over their mean at T13, in percent: the left side has fallen in.</summary>
    public double RightLargerPct { get; init; }

    /// <summary>Whether midline and level line are marked.</summary>
    public bool Marked { get; init; } = true;

    /// <summary>How far down the flanks the curve was laid.</summary>
    public double LowestMm { get; init; } = 155;

    public string[] Stations { get; init; } = ["T8", "T13", "T18"];

    public bool HasTopline { get; init; } = true;

    public Dictionary<string, double> PositionsMm { get; init; } = new() { ["T13"] = 210, ["T18"] = 420 };

    /// <summary>A session of two repeats at each station, before work.</summary>
    public object Session(DateTimeOffset at, string by) => new
    {
        measuredAt = at,
        measuredBy = by,
        method = "flexible-curve",
        exercise = "before",
        traces = Places.Where(place => Stations.Contains(place.Station)).SelectMany(place => new[] { 1, 2 }.Select(repeat => Trace(place, repeat))),
        topline = HasTopline ? Enumerable.Range(0, 53).Select(i => Pair(-50 + (10 * i), SagAt(-50 + (10 * i), DipMm) + HollowAt(-50 + (10 * i)))) : null,
        stationPositionsMm = PositionsMm.Count > 0 ? PositionsMm : null,
        supportLengthMm = 455,
        weightKg = 480,
    };

    /// <summary>A tree that follows the back as it was first, under its panel.</summary>
    public static object Tree(string from) => new
    {
        from,
        bearingLengthMm = LengthMm,
        panel = new { thicknessMm = PanelMm },
        stations = Enumerable.Range(0, 7).Select(i => TreeStation(i * LengthMm / 6)),
    };

    private object Trace(Place place, int repeat)
    {
        var uneven = place.Station == "T13" ? RightLargerPct / 200 : 0;
        // The second drawing is a hair wider: nobody draws the same line twice.
        var width = place.Width150Mm + (place.Share * WiderMm) + (repeat - 1.5);
        return new
        {
            station = place.Station,
            repeat,
            points = Side(place, width * (1 - uneven), -1).Reverse().Append(Pair(0, 0)).Concat(Side(place, width * (1 + uneven), 1)),
            midline = Marked ? new[] { 0.0, 0 } : null,
            level = Marked ? new[] { new[] { -100.0, 0 }, [100, 0] } : null,
        };
    }

    private IEnumerable<double[]> Side(Place place, double widthMm, int sign)
    {
        var reach = widthMm / 2 * Math.Pow(LowestMm / 150, 1 / place.Power);
        for (var offset = 5.0; offset < reach + 5; offset += 5)
            yield return Pair(sign * Math.Min(offset, reach), 150 * Math.Pow(2 * Math.Min(offset, reach) / widthMm, place.Power));
    }

    private double HollowAt(double x) => x is > 75 and < 335 ? 4 * HollowMm * (x - 75) * (335 - x) / (260 * 260) : 0;

    private static double SagAt(double x, double dipMm) => x is > 0 and < 420 ? 4 * dipMm * x * (420 - x) / (420 * 420) : 0;

    private static object TreeStation(double fromFrontMm)
    {
        var position = FrontMm + fromFrontMm;
        var (before, share) = position < 210 ? (0, position / 210) : (1, (position - 210) / 210);
        var (width, power) = (double.Lerp(Places[before].Width150Mm, Places[before + 1].Width150Mm, share), double.Lerp(Places[before].Power, Places[before + 1].Power, share));
        double[][] face = [.. Enumerable.Range(0, 12).Select(i => AbovePanel(38 + (7.5 * i), position, width, power))];
        var side = new
        {
            channelHalfMm = face[0][0],
            bearingMm = Math.Round(face[^1][0] - face[0][0], 3),
            innerDepthMm = face[0][1],
            surface = face.Select(point => Pair(point[0] - face[0][0], point[1] - face[0][1])),
        };
        return new { fromFrontMm, channelHeightMm = fromFrontMm == 0 ? 78 : 62, left = side, right = side };
    }

    // The tree lies a panel's thickness off the skin, outwards and up.
    private static double[] AbovePanel(double offset, double position, double width, double power)
    {
        double Depth(double s) => SagAt(position, 18) + (150 * Math.Pow(2 * s / width, power));
        var slope = (Depth(offset + .01) - Depth(offset - .01)) / .02;
        var length = Math.Sqrt(1 + (slope * slope));
        return Pair(offset + (PanelMm * slope / length), Depth(offset) - (PanelMm / length));
    }

    private static double[] Pair(double x, double y) => [Math.Round(x, 3), Math.Round(y, 3)];

    private sealed record Place(string Station, double PositionMm, double Width150Mm, double Power, double Share);
}
