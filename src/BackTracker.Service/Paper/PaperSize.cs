namespace BackTracker.Service.Paper;

/// <summary>A sheet of paper people print on.</summary>
public enum PaperKind
{
    /// <summary>210 by 297 mm.</summary>
    A4,

    /// <summary>8.5 by 11 inches.</summary>
    Letter,

    /// <summary>297 by 420 mm.</summary>
    A3,
}

/// <summary>Size of a page, points: 72 an inch.</summary>
/// <param name="WidthPt">Its width.</param>
/// <param name="HeightPt">Its height.</param>
internal readonly record struct PaperSize(double WidthPt, double HeightPt)
{
    public const double PointsPerMm = 72 / 25.4;

    public static PaperSize A4 { get; } = new(210 * PointsPerMm, 297 * PointsPerMm);

    public PaperSize Turned => new(HeightPt, WidthPt);

    /// <summary>The sheet, upright.</summary>
    public static PaperSize Of(PaperKind kind) => kind switch
    {
        PaperKind.A4 => A4,
        PaperKind.Letter => new(8.5 * 72, 11 * 72),
        _ => new(297 * PointsPerMm, 420 * PointsPerMm),
    };
}

/// <summary>A place on a page, points from its lower left corner.</summary>
internal readonly record struct PaperPoint(double X, double Y);

/// <summary>A rectangle on a page, points from its lower left corner.</summary>
internal readonly record struct PaperBox(double Left, double Bottom, double Right, double Top)
{
    public double Width => Right - Left;

    public double Height => Top - Bottom;
}

/// <summary>How a line is drawn.</summary>
/// <param name="WidthPt">Thickness.</param>
/// <param name="Grey">0 is black, 1 the paper.</param>
internal sealed record Stroke(double WidthPt, double Grey = 0)
{
    /// <summary>Lengths of dash and gap in turn; none for an unbroken line.</summary>
    public double[] Dashes { get; init; } = [];
}
