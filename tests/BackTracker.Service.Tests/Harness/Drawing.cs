using System.Globalization;

namespace BackTracker.Service.Tests.Harness;

/// <summary>
/// A back drawn on paper: y = 30 (s / Half30)^p through (Half30, 30) and (Half150, 150) on both sides. The horse is even; what is uneven
/// comes from how the paper lay.
/// </summary>
internal sealed record Drawing
{
    public double Half30Mm { get; init; } = 58;

    public double Half150Mm { get; init; } = 140;

    public double SpacingMm { get; init; } = 5;

    public double LeftMm { get; init; } = 150;

    public double RightMm { get; init; } = 150;

    /// <summary>How far to the right the drawing lies.</summary>
    public double ShiftMm { get; init; }

    /// <summary>How far too deep the drawing lies.</summary>
    public double SinkMm { get; init; }

    /// <summary>How far the drawing is turned, right side down.</summary>
    public double TurnDeg { get; init; }

    /// <summary>The points from left to right as JSON.</summary>
    public string Points => $"[{string.Join(",", Corners())}]";

    /// <summary>The points from right to left as JSON.</summary>
    public string PointsBackwards => $"[{string.Join(",", Corners().Reverse())}]";

    /// <summary>Where a point of the horse lies on the paper, as JSON.</summary>
    public string Place(double x, double y)
    {
        var (sin, cos) = Math.SinCos(double.DegreesToRadians(TurnDeg));
        return string.Create(CultureInfo.InvariantCulture, $"[{(cos * x) - (sin * y) + ShiftMm:0.0000},{(sin * x) + (cos * y) + SinkMm:0.0000}]");
    }

    private IEnumerable<string> Corners()
    {
        var power = Math.Log(5) / Math.Log(Half150Mm / Half30Mm);
        for (var i = (int)-(LeftMm / SpacingMm); i <= RightMm / SpacingMm; i++)
            yield return Place(i * SpacingMm, 30 * Math.Pow(Math.Abs(i * SpacingMm) / Half30Mm, power));
    }
}
