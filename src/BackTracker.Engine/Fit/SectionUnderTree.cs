using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Sections;

namespace BackTracker.Engine.Fit;

/// <summary>A section of the back on a day with the panel over it, as the two are compared.</summary>
/// <param name="Back">The section; where left and right are not known at every station, both sides are the mean, since the tree is laid on that.</param>
/// <param name="LeftFace">Lower face of the panel on the left as it lies, from the inner edge outwards: X = mm from the midline, at least 0; Y = mm below the skin over it.</param>
/// <param name="RightFace">The same on the right.</param>
/// <param name="Compared">How they compare.</param>
public sealed record SectionUnderTree(ExpectedSection Back, IReadOnlyList<PointMm> LeftFace, IReadOnlyList<PointMm> RightFace, StationComparison Compared);
