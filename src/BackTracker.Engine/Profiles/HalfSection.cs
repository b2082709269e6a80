namespace BackTracker.Engine.Profiles;

/// <summary>
/// One side of a cross-section, from the skin over the midline outwards: offset (mm from the midline, + = outwards) and depth (mm below
/// the skin over the midline, + = down). Never extrapolated: what it does not reach is <see cref="double.NaN"/>.
/// </summary>
public abstract class HalfSection
{
    /// <summary>Depth at an offset, mm; where it comes back, the place met first from the midline; NaN where it does not reach.</summary>
    /// <param name="offsetMm">Distance from the midline, at least 0, mm.</param>
    public abstract double DepthAt(double offsetMm);

    /// <summary>Offset at a depth, mm; where it comes back, the place met first from the midline; NaN where it does not reach.</summary>
    /// <param name="depthMm">Depth below the skin over the midline, mm.</param>
    public abstract double OffsetAt(double depthMm);
}
