using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Profiles;

namespace BackTracker.Engine.Tests.Fit.Geometry;

/// <summary>Backs whose depth under every patch is drawn by itself: nothing smooth for a solver to lean on.</summary>
internal static class RoughBack
{
    private const int Strips = 21;
    private const int Cells = 8;

    /// <summary>A tree and a back under it. Some backs are the same on both sides or rough in whole millimetres, so that contacts tie.</summary>
    public static (BackShape Back, TreeShape Tree) Draw(Random random)
    {
        var (angle, bearing) = (20 + (25 * random.NextDouble()), 60 + (40 * random.NextDouble()));
        var tree = Shapes.FlatTree(angle, channelHalfMm: 40, bearing);
        var (roughMm, slope, hollow) = (20 * Math.Pow(random.NextDouble(), 3), random.NextDouble() - .5, (random.NextDouble() - .5) / 500);
        var (isEven, isStepped) = (random.Next(3) == 0, random.Next(3) == 0);
        var stations = new BackStation[Strips];
        for (var strip = 0; strip < Strips; strip++)
        {
            var at = Shapes.FrontMm + ((strip + .5) * Shapes.LengthMm / Strips);
            var top = (slope * at) + (hollow * (at - Shapes.MidMm) * (at - Shapes.MidMm));
            var left = Half(top);
            stations[strip] = new BackStation(at, left, isEven ? left : Half(top));
        }
        return (new BackShape(stations, []), tree);

        HalfSection Half(double top)
        {
            var rough = new double[Cells];
            for (var cell = 0; cell < Cells; cell++)
                rough[cell] = isStepped ? Math.Round(roughMm * random.NextDouble()) : roughMm * random.NextDouble();
            return new DrawnHalf(offset => top + (offset * Shapes.Tan(angle)) + rough[(int)Math.Clamp((offset - 40) / bearing * Cells, 0, Cells - 1)]);
        }
    }
}
