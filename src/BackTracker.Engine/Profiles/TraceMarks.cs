using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Profiles;

/// <summary>A line on the paper that was level when the curve lay on the horse.</summary>
/// <param name="Left">Its end on the horse's left.</param>
/// <param name="Right">Its end on the horse's right.</param>
public readonly record struct LevelLine(PointMm Left, PointMm Right)
{
    /// <summary>How far the right end lies lower than the left one, degrees, -180 to 180.</summary>
    public double TiltDeg => double.RadiansToDegrees(Math.Atan2(Right.Y - Left.Y, Right.X - Left.X));
}

/// <summary>What was marked on the paper beside the trace. Only with both marks may left and right be told apart.</summary>
/// <param name="Midline">Where the midline of the back was; null where it was not marked, then it is x = 0.</param>
/// <param name="Level">What was level; null where it was not marked, then the paper's own x is.</param>
public readonly record struct TraceMarks(PointMm? Midline, LevelLine? Level)
{
    /// <summary>Both are marked.</summary>
    public bool AreComplete => Midline is not null && Level is not null;
}
