using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Sections;

namespace BackTracker.Engine.Fit;

/// <summary>
/// A saddle laid on the back of its horse, ready to be laid on the same back as it may be on other days: reads every finding off a
/// resting saddle, in a fixed order.
/// </summary>
internal sealed class LaidSaddle
{
    private const double NearMm = 60;
    private readonly BackTrends back;
    private readonly TreeShape tree;
    private readonly LaidTree laid;
    private readonly List<Station> stations;
    private readonly List<FindingKey> keys = [];

    /// <summary>Lays a saddle on a back.</summary>
    /// <exception cref="GeometryException">They cannot be laid on each other.</exception>
    public LaidSaddle(BackTrends back, EffectiveTree effective, double frontMm, double padMm)
    {
        this.back = back;
        tree = effective.LaidAt(frontMm);
        laid = LaidTree.For(back.Outline.Of(back.On(back.LastOn).Means), tree, effective.PanelWith(padMm), FitSetting.For(tree));
        stations = [.. back.Outline.Stations];
        // Which stations lie under the tree hangs on their places alone, so that every fit gives the same list.
        foreach (var faces in laid.Faces)
            keys.AddRange(KeysAt(stations[faces.Section]));
        keys.AddRange(KeysOfSaddle());
    }

    /// <summary>The findings in the order of <see cref="LaidReading"/>.</summary>
    public IReadOnlyList<FindingKey> Keys => keys;

    /// <summary>The panel in patches.</summary>
    public PanelPatches Patches => laid.Patches;

    /// <summary>Length of the bearing surface, mm.</summary>
    public double LengthMm => tree.LengthMm;

    /// <summary>Width of the channel at its narrowest, mm.</summary>
    public double NarrowestChannelMm => tree.Stations.Min(station => station.Left.ChannelHalfMm + station.Right.ChannelHalfMm);

    /// <summary>Distance between the middles of the two panels, mm.</summary>
    public double BetweenPanelsMm => tree.Stations.Average(station =>
        station.Left.ChannelHalfMm + station.Right.ChannelHalfMm + (.5 * (station.Left.BearingMm + station.Right.BearingMm)));

    /// <summary>Lays it on the back with coordinates of given values.</summary>
    /// <exception cref="GeometryException">They cannot be laid on each other.</exception>
    public SaddleFit On(IReadOnlyList<double> values) => SaddleFit.On(back.Outline.Of(values), laid);

    /// <summary>The saddle under a rider on the back expected on a day, with a soft, a normal and a firm panel.</summary>
    /// <exception cref="GeometryException">They cannot be laid on each other, or the load acts outside what carries the saddle.</exception>
    public IReadOnlyList<RiddenSaddle> Under(RiderLoad load, DateOnly day)
    {
        var (panel, forces) = (BeddedPanel.Over(back.Outline.Of(back.On(day).Means), laid), load.On(tree));
        return [.. Enum.GetValues<PanelFirmness>().Select(firmness => new RiddenSaddle(panel, firmness, forces))];
    }

    /// <summary>Stations under the tree, front to rear.</summary>
    public IEnumerable<Station> Covered => laid.Faces.Select(faces => stations[faces.Section]);

    /// <summary>The section of a covered station on a day with the panel over it.</summary>
    public SectionUnderTree SectionOn(Station station, DateOnly day)
    {
        var faces = laid.Faces.First(faces => stations[faces.Section] == station);
        var compared = StationComparison.Of(back.Outline.Of(back.On(day).Means), [faces])[0];
        return new SectionUnderTree(ExpectedSection.UnderTree(back, station, day), faces.Left.LoweredBy(compared.LoweredMm), faces.Right.LoweredBy(compared.LoweredMm), compared);
    }

    /// <summary>What is read off with coordinates of given values.</summary>
    /// <exception cref="GeometryException">They cannot be laid on each other.</exception>
    public LaidReading ReadOn(IReadOnlyList<double> values)
    {
        var fit = On(values);
        return new LaidReading([.. keys.Select(key => ValueOf(fit, key)), .. fit.Field.GapMm], keys.Count);
    }

    /// <summary>The same; null where they cannot be laid on each other.</summary>
    public LaidReading? TryReadOn(IReadOnlyList<double> values)
    {
        try
        {
            return ReadOn(values);
        }
        catch (GeometryException)
        {
            return null;
        }
    }

    /// <summary>The station a finding is at or near; null where none lies within 60 mm or it is of the whole saddle.</summary>
    public Station? NearestTo(SaddleFit fit, FindingKey key) => PlaceOf(fit, key) is { } at
        ? stations.Where(station => Off(station, at) <= NearMm).Cast<Station?>().MinBy(station => Off(station!.Value, at))
        : key.Station;

    /// <summary>The third of the panel a finding is in; null where it is at a station or of the whole saddle.</summary>
    public Zone? ThirdOf(SaddleFit fit, FindingKey key) => PlaceOf(fit, key) is { } at ? (Zone)Math.Clamp((int)(3 * (at - tree.FrontMm) / tree.LengthMm), 0, 2) : null;

    private double Off(Station station, double atMm) => Math.Abs(back.Outline.PositionsMm[station] - atMm);

    private double? PlaceOf(SaddleFit fit, FindingKey key) => key.Measure switch
    {
        Measure.Bridging => tree.FrontMm + (tree.LengthMm * BridgingOf(fit, key.Side).AtShare),
        Measure.SpineClearance => Behind(fit).MinBy(place => place.RoomMm).AtMm,
        Measure.PommelClearance => tree.FrontMm,
        _ => null,
    };

    private IEnumerable<FindingKey> KeysAt(Station station)
    {
        yield return new FindingKey(Measure.Width, station);
        yield return new FindingKey(Measure.Angle, station);
        if (back.Outline.SidesAreKnown)
            yield return new FindingKey(Measure.AngleDifference, station);
    }

    private IEnumerable<FindingKey> KeysOfSaddle()
    {
        if (!back.Outline.HasTopline)
            yield break;
        yield return new FindingKey(Measure.PommelClearance);
        yield return new FindingKey(Measure.SpineClearance);
        if (back.Outline.SidesAreKnown)
        {
            yield return new FindingKey(Measure.Bridging, null, Side.Left);
            yield return new FindingKey(Measure.Bridging, null, Side.Right);
            yield return new FindingKey(Measure.Roll);
        }
        else
        {
            yield return new FindingKey(Measure.Bridging);
        }
        yield return new FindingKey(Measure.Rocking);
        yield return new FindingKey(Measure.Balance);
    }

    private double ValueOf(SaddleFit fit, FindingKey key) => key.Measure switch
    {
        Measure.Width => Compared(fit, key)?.WidthMismatch150Mm ?? double.NaN,
        Measure.Angle => Compared(fit, key)?.AngleMismatchDeg ?? double.NaN,
        Measure.AngleDifference => Compared(fit, key) is { } at ? at.Left.AngleMismatchDeg - at.Right.AngleMismatchDeg ?? double.NaN : double.NaN,
        Measure.PommelClearance => fit.Clearances.Where(laid.IsUnderTheArch).Min(place => place.RoomMm),
        Measure.SpineClearance => Behind(fit).Min(place => place.RoomMm),
        Measure.Bridging => BridgingOf(fit, key.Side).MostMm,
        Measure.Rocking => fit.RockingMm,
        Measure.Balance => fit.Rest.PitchDeg,
        Measure.Roll => fit.Rest.RollDeg,
        _ => double.NaN,
    };

    private StationComparison? Compared(SaddleFit fit, FindingKey key) => fit.Stations.FirstOrDefault(compared => stations[compared.Station] == key.Station);

    private static BridgingGap BridgingOf(SaddleFit fit, Side? side) => side switch
    {
        Side.Left => fit.LeftBridging,
        Side.Right => fit.RightBridging,
        _ => fit.LeftBridging.MostMm < fit.RightBridging.MostMm ? fit.RightBridging : fit.LeftBridging,
    };

    private IEnumerable<Clearance> Behind(SaddleFit fit) => fit.Clearances.Where(place => !laid.IsUnderTheArch(place));
}

/// <summary>What is read off a laid saddle: every finding in its unit, then the gap under every patch before the saddle is put down, mm; NaN where one is not known.</summary>
/// <param name="Numbers">All of them.</param>
/// <param name="FirstGap">Index of the first gap.</param>
internal readonly record struct LaidReading(double[] Numbers, int FirstGap);
