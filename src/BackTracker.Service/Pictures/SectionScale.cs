using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>Where the points of a section lie in its picture: one scale across and down.</summary>
internal sealed class SectionScale
{
    private const double RoundMm = 12;
    private const double BesidePx = 36;
    private const double LettersPx = 22;
    private readonly double topMm;
    private readonly double middlePx;

    public SectionScale(SectionDrawing drawing, int widthPx, double topPx)
    {
        PointMm[] all =
        [
            new(100, 0), .. drawing.Back, .. drawing.Panel.SelectMany(face => face), .. drawing.Band80.Select(half => new PointMm(half.FarMm, half.DepthMm)),
            .. drawing.Depths.SelectMany(depth => depth.Gaps.SelectMany(gap => new[] { new PointMm(gap.BackMm, depth.DepthMm), new(gap.TreeMm, depth.DepthMm) })),
        ];
        HalfMm = all.Max(point => Math.Abs(point.X)) + RoundMm;
        topMm = all.Min(point => point.Y) - RoundMm;
        LowestMm = all.Max(point => point.Y) + (.7 * RoundMm);
        (Left, Right, Top) = (BesidePx, widthPx - LettersPx, topPx);
        PxPerMm = (Right - Left) / (2 * HalfMm);
        middlePx = (Left + Right) / 2;
        Bottom = Y(LowestMm);
    }

    /// <summary>How far it reaches to either side, mm.</summary>
    public double HalfMm { get; }

    public double LowestMm { get; }

    public double PxPerMm { get; }

    public double Left { get; }

    public double Right { get; }

    public double Top { get; }

    public double Bottom { get; }

    public double X(double mm) => middlePx + (mm * PxPerMm);

    public double Y(double mm) => Top + ((mm - topMm) * PxPerMm);

    public PointMm At(PointMm point) => new(X(point.X), Y(point.Y));

    public PointMm At(double x, double y) => new(X(x), Y(y));
}
