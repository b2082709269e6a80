using System.Globalization;
using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit;

/// <summary>
/// How a saddle lies from front to rear, in words. They come from its pitch at rest and the angle of its front, never from shares of the load: those
/// hang on where the rider sits, whatever the shape.
/// </summary>
internal static class FrontAndRear
{
    private const string Wide = "In ridden horses a tree a fitting too wide sat down in front and pressed more there (MacKechnie-Guire et al. 2019, Animals 9:842).";
    private const string Narrow = "In ridden horses a tree a fitting too narrow stood up in front and pressed more behind (MacKechnie-Guire et al. 2019, Animals 9:842).";

    /// <summary>The words.</summary>
    /// <param name="pitchDeg">Pitch at rest, degrees, + = rear down.</param>
    /// <param name="front">Foremost station under the tree.</param>
    /// <param name="steeperDeg">How much steeper the panel is there than the back, degrees; null where it is not known.</param>
    /// <param name="tolerances">What counts: their watch limits.</param>
    public static string Say(double pitchDeg, Station front, double? steeperDeg, FitTolerances tolerances)
    {
        var (balance, angle) = (tolerances.Of(Measure.Balance), tolerances.Of(Measure.Angle));
        var pitch = pitchDeg <= balance.WatchBelow ? -1 : pitchDeg >= balance.WatchAbove ? 1 : 0;
        var steep = steeperDeg <= angle.WatchBelow ? -1 : steeperDeg >= angle.WatchAbove ? 1 : 0;
        var (lies, follows) = ($"{Degrees(pitchDeg)} down {(pitchDeg < 0 ? "in front" : "behind")}", $"{Degrees(steeperDeg ?? 0)} {(steeperDeg < 0 ? "flatter" : "steeper")} than the back at {front}");
        return (pitch, steep) switch
        {
            (0, 0) => "Lies level and has the slope of the back in front: nothing says that the pressure shifts to front or rear.",
            (-1, -1) => $"Sits down in front: {lies}, its panel {follows}. {Wide}",
            (1, 1) => $"Stands up in front: {lies}, its panel {follows}. {Narrow}",
            (0, -1) => $"Lies level, though its panel is {follows}. {Wide}",
            (0, _) => $"Lies level, though its panel is {follows}. {Narrow}",
            (_, 0) => $"Lies {lies}, though its panel has the slope of the back in front: look at flocking and place before the width.",
            _ => $"Lies {lies}, though its panel is {follows}: the two do not say the same, so look at it on the horse.",
        };
    }

    private static string Degrees(double value) => string.Create(CultureInfo.InvariantCulture, $"{Math.Abs(value):0.0}°");
}
