namespace BackTracker.Engine.Fit.Geometry;

/// <summary>How far a saddle was lowered from its datum: D(X, x) = heave + pitch (X - middle) + roll x.</summary>
/// <param name="HeaveMm">At the middle of the tree, mm; + = down.</param>
/// <param name="PitchSlope">Slope lengthwise; + = rear down.</param>
/// <param name="RollSlope">Slope across; + = right down.</param>
public readonly record struct Pose(double HeaveMm, double PitchSlope, double RollSlope)
{
    /// <summary>Pitch, degrees; + = rear down.</summary>
    public double PitchDeg => double.RadiansToDegrees(Math.Atan(PitchSlope));

    /// <summary>Roll, degrees; + = right down. An upper bound: the model lets the saddle move straight down only.</summary>
    public double RollDeg => double.RadiansToDegrees(Math.Atan(RollSlope));

    /// <summary>How far it was lowered at a place, mm.</summary>
    /// <param name="behindMiddleMm">Behind the middle of the tree, mm.</param>
    /// <param name="lateralMm">+ = right, mm.</param>
    public double DropAt(double behindMiddleMm, double lateralMm) => HeaveMm + (PitchSlope * behindMiddleMm) + (RollSlope * lateralMm);
}
