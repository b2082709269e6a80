using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Demo;

/// <summary>Trees of the demo as the fitter measured them on the day they were made: they follow the back of that day under their panel.</summary>
internal static class DemoTree
{
    public const double FrontFromT8Mm = 10;
    private const double LengthMm = 335;
    private const double PanelMm = 25;
    private const int PlaceCount = 8;
    private const double SlopeArmMm = .5;

    public static object Known(DemoTreeBy by, DemoBack back, int day, DateOnly on) => by == DemoTreeBy.Widths ? ByWidths(back, day, on) : BySides(back, day, on);

    private static object ByWidths(DemoBack back, int day, DateOnly on) => new
    {
        from = DemoApi.Day(on),
        stations = DemoBack.Stations.Select(station => new { station = station.Name, width150Mm = Math.Round(back.Width(station, 150, day) + 3) }),
        note = "Measured on the tree when the saddle was last fitted.",
    };

    private static object BySides(DemoBack back, int day, DateOnly on) => new
    {
        from = DemoApi.Day(on),
        bearingLengthMm = LengthMm,
        panel = new { thicknessMm = PanelMm },
        stations = Places(back, day),
        note = "Both sides drawn off the bare tree at eight places.",
    };

    /// <summary>A tree that is ordered to the back of a day, with its planned panel.</summary>
    public static object Ordered(DemoBack back, int day) => new { bearingLengthMm = LengthMm, panel = new { thicknessMm = PanelMm }, stations = Places(back, day) };

    private static IEnumerable<object> Places(DemoBack back, int day)
    {
        var shape = back.EvenOn(day);
        return Enumerable.Range(0, PlaceCount).Select(i => Place(shape, i * LengthMm / (PlaceCount - 1)));
    }

    private static object Place(BackShape back, double fromFrontMm)
    {
        PointMm[] points = [.. Enumerable.Range(0, 12).Select(i => Above(back, FrontFromT8Mm + fromFrontMm, 34 + (7.5 * i)))];
        var inner = points[0];
        var side = new
        {
            channelHalfMm = Math.Round(inner.X, 2),
            bearingMm = Math.Round(points[^1].X - inner.X, 2),
            innerDepthMm = Math.Round(inner.Y, 2),
            surface = points.Select(point => new[] { Math.Round(point.X - inner.X, 2), Math.Round(point.Y - inner.Y, 2) }),
        };
        return new { fromFrontMm = Math.Round(fromFrontMm, 1), channelHeightMm = fromFrontMm < 1 ? 66 : 56, left = side, right = side };
    }

    // The tree lies a panel's thickness off the skin, outwards and up.
    private static PointMm Above(BackShape back, double atMm, double offsetMm)
    {
        double Depth(double offset) => back.DepthAt(atMm, Side.Left, offset);
        var slope = (Depth(offsetMm + SlopeArmMm) - Depth(offsetMm - SlopeArmMm)) / (2 * SlopeArmMm);
        var length = Math.Sqrt(1 + (slope * slope));
        return new PointMm(offsetMm + (PanelMm * slope / length), Depth(offsetMm) - (PanelMm / length));
    }
}
