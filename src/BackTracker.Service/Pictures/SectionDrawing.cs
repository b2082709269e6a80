using BackTracker.Engine.Measures;

namespace BackTracker.Service.Pictures;

/// <summary>What a picture of a section shows; plain values. X = mm from the midline, + = the horse's right; Y = mm below the skin over it.</summary>
/// <param name="HorseName">The horse.</param>
/// <param name="SaddleLabel">The saddle.</param>
/// <param name="Station">"T13".</param>
/// <param name="On">The day it is about.</param>
/// <param name="Basis">What the back rests on, in words.</param>
/// <param name="Back">The back from left to right; empty where too little is known for a curve.</param>
/// <param name="Band80">Where it lies with 80 %.</param>
/// <param name="Panel">Lower faces of the panel as it lies, each from its inner edge outwards; none where the tree is known by widths.</param>
/// <param name="Depths">The depths compared, from the top down.</param>
internal sealed record SectionDrawing(
    string HorseName, string SaddleLabel, string Station, DateOnly On, string Basis, IReadOnlyList<PointMm> Back, IReadOnlyList<DrawnHalf> Band80,
    IReadOnlyList<IReadOnlyList<PointMm>> Panel, IReadOnlyList<DrawnDepth> Depths)
{
    /// <summary>Whether the tree is drawn as widths.</summary>
    public bool IsByWidths => Panel.Count == 0;
}

/// <summary>How far the flank lies from the midline at a depth; negative on the left.</summary>
/// <param name="DepthMm">The depth.</param>
/// <param name="MeanMm">Expected.</param>
/// <param name="NearMm">End of the band nearer to the midline.</param>
/// <param name="FarMm">The other end.</param>
internal readonly record struct DrawnHalf(double DepthMm, double MeanMm, double NearMm, double FarMm);

/// <summary>A depth at which tree and back are compared.</summary>
/// <param name="DepthMm">The depth.</param>
/// <param name="Left">Back and tree on the left.</param>
/// <param name="Right">Back and tree on the right.</param>
/// <param name="Words">"4 mm wide on the left, 2 mm narrow on the right".</param>
internal sealed record DrawnDepth(double DepthMm, DrawnGap? Left, DrawnGap? Right, string Words)
{
    public IEnumerable<DrawnGap> Gaps => new[] { Left, Right }.OfType<DrawnGap>();
}

/// <summary>Where back and tree lie at a depth, mm from the midline.</summary>
internal sealed record DrawnGap(double BackMm, double TreeMm);
