namespace BackTracker.Engine.Profiles;

/// <summary>
/// The numbers of a cross-section. What the trace does not reach is <see cref="double.NaN"/>, never extrapolated. Widths, shape, mean angle
/// and mean fill stand without marks; what compares left and right stands only where <see cref="Section.IsMarked"/> is true: a turn of
/// 1 degree makes a false asymmetry of about 5 %.
/// </summary>
public sealed class ProfileMetrics
{
    /// <summary>The upper of the two usual depths, mm (Greve and Dyson 2014, Equine Vet J 46 suppl., doi 10.1111/evj.12267_161).</summary>
    public const int UpperDepthMm = 30;

    /// <summary>The lower of the two usual depths, mm (same source).</summary>
    public const int LowerDepthMm = 150;

    /// <summary>Where the chord of the muscle fill ends, mm from the midline: our choice.</summary>
    public const double FillToMm = 120;

    private const int AngleFromMm = 40;
    private const int AngleToMm = 110;
    private const double AmbiguousMm = 5;
    private readonly Section _section;

    /// <summary>The numbers of <paramref name="section"/>.</summary>
    public ProfileMetrics(Section section)
    {
        ArgumentNullException.ThrowIfNull(section);
        _section = section;
        (AngleLeftDeg, AngleRightDeg) = (AngleOf(section.Left), AngleOf(section.Right));
        (FillLeftMm2, FillRightMm2) = (section.Left.AreaOverChord(FillToMm), section.Right.AreaOverChord(FillToMm));
        Warnings = [.. WarningsOf(section).Order()];
    }

    /// <summary>
    /// Angle of the left flank from the horizontal, degrees: of the least-squares line through its depths at 40, 41, ... 110 mm from the
    /// midline, so that it does not depend on where the points were read off.
    /// </summary>
    public double AngleLeftDeg { get; }

    /// <summary>The same of the right flank, degrees.</summary>
    public double AngleRightDeg { get; }

    /// <summary>Mean of both flanks, degrees.</summary>
    public double AngleDeg => (AngleLeftDeg + AngleRightDeg) / 2;

    /// <summary>Area between the left flank and its chord from the midline to 120 mm out, mm2; + = bulging, - = hollow.</summary>
    public double FillLeftMm2 { get; }

    /// <summary>The same of the right flank, mm2.</summary>
    public double FillRightMm2 { get; }

    /// <summary>Mean of both flanks, mm2.</summary>
    public double FillMm2 => (FillLeftMm2 + FillRightMm2) / 2;

    /// <summary>Width at 30 mm over width at 150 mm; larger = rounder. A straight roof has 1/5.</summary>
    public double ShapeRatio => WidthMm(UpperDepthMm) / WidthMm(LowerDepthMm);

    /// <summary>What to notice, the drawing's own warnings among it, in order of their codes.</summary>
    public IReadOnlyList<TraceWarning> Warnings { get; }

    /// <summary>From the midline to the left flank at a depth, mm.</summary>
    /// <param name="depthMm">Depth below the skin over the midline, mm.</param>
    public double HalfLeftMm(double depthMm) => _section.Left.OffsetAt(depthMm);

    /// <summary>From the midline to the right flank at a depth, mm.</summary>
    /// <param name="depthMm">Depth below the skin over the midline, mm.</param>
    public double HalfRightMm(double depthMm) => _section.Right.OffsetAt(depthMm);

    /// <summary>Width of the back at a depth, mm.</summary>
    /// <param name="depthMm">Depth below the skin over the midline, mm.</param>
    public double WidthMm(double depthMm) => HalfLeftMm(depthMm) + HalfRightMm(depthMm);

    /// <summary>Right half less left half over their mean at a depth, percent; + = right larger. NaN where the width is 0.</summary>
    /// <param name="depthMm">Depth below the skin over the midline, mm.</param>
    public double AsymmetryPct(double depthMm)
    {
        double left = HalfLeftMm(depthMm), right = HalfRightMm(depthMm);
        return left + right > 0 ? 200 * (right - left) / (left + right) : double.NaN;
    }

    private static double AngleOf(HalfSection half)
    {
        const double middle = (AngleFromMm + AngleToMm) / 2.0;
        double rise = 0, run = 0;
        for (var offset = AngleFromMm; offset <= AngleToMm; offset++)
        {
            rise += (offset - middle) * half.DepthAt(offset);
            run += (offset - middle) * (offset - middle);
        }
        return double.RadiansToDegrees(Math.Atan(rise / run));
    }

    private static IEnumerable<TraceWarning> WarningsOf(Section section)
    {
        foreach (var warning in section.Warnings)
            yield return warning;
        if (!BothReach(section, LowerDepthMm))
            yield return TraceWarning.Depth150NotReached;
        if (!BothReach(section, UpperDepthMm))
            yield return TraceWarning.Depth30NotReached;
        if (SpreadAt(section, UpperDepthMm) > AmbiguousMm || SpreadAt(section, LowerDepthMm) > AmbiguousMm)
            yield return TraceWarning.AmbiguousCrossing;
    }

    private static bool BothReach(Section section, double depthMm) => section.Left.DepthReachedMm >= depthMm && section.Right.DepthReachedMm >= depthMm;

    private static double SpreadAt(Section section, double depthMm) => Math.Max(section.Left.SpreadAt(depthMm), section.Right.SpreadAt(depthMm));
}
