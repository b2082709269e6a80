namespace BackTracker.Engine.Measures;

/// <summary>Angle of the flanks from two widths.</summary>
public static class WidthAngle
{
    /// <summary>
    /// Angle of a flank from the vertical between 30 and 150 mm below the midline, degrees, mean of both sides:
    /// atan(((width150 - width30) / 2) / 120). The angle between the flanks is twice that.
    /// </summary>
    /// <param name="width30Mm">Width 30 mm below the midline, mm.</param>
    /// <param name="width150Mm">Width 150 mm below the midline, mm.</param>
    public static double FromVerticalDeg(double width30Mm, double width150Mm) =>
        double.RadiansToDegrees(Math.Atan((width150Mm - width30Mm) / 2 / 120));
}
