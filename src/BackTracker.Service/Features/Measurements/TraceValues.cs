using System.ComponentModel.DataAnnotations;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Measurements;

/// <summary>A trace across the back, from the horse's left to its right.</summary>
internal sealed record TraceValues : ICheckedRequest
{
    private const double ShortestSpanMm = 80;
    private const double LargestTiltDeg = 20;
    private static readonly Box Plausible = new(-700, 700, -700, 700);

    /// <summary>Where along the back: T5 to T18.</summary>
    [Required]
    public string? Station { get; init; }

    /// <summary>Which of the repeats, from 1; 1 unless said.</summary>
    [Range(1, 20)]
    public int? Repeat { get; init; }

    /// <summary>5 to 2000 points [x mm, y mm]: x + = the horse's right, y + = down, 0 = skin over the midline.</summary>
    [Required, MinLength(5), MaxLength(2000)]
    public IReadOnlyList<IReadOnlyList<double>>? Points { get; init; }

    /// <summary>The marked midline, [x mm, y mm].</summary>
    public IReadOnlyList<double>? Midline { get; init; }

    /// <summary>The level line, left end and right end: [[x, y], [x, y]] in mm.</summary>
    public IReadOnlyList<IReadOnlyList<double>>? Level { get; init; }

    public int Turn() => Repeat ?? 1;

    public void Check(Faults faults)
    {
        if (!Engine.Measures.Station.TryParse(Station, out _))
            faults.Add("/station", MeasurementRules.StationHint);
        var points = PointRules.Read(faults, "/points", Points!, Plausible);
        var middle = Midline is null ? [] : PointRules.Read(faults, "/midline", [Midline], Plausible);
        var level = Level is null ? [] : PointRules.Read(faults, "/level", Level, Plausible);
        if (faults.Any)
            return;
        if (Level is not null)
            CheckLevel(faults, level);
        CheckShape(faults, points, middle is [var mark] ? mark : new PointMm(0, 0));
    }

    private static void CheckLevel(Faults faults, IReadOnlyList<PointMm> level)
    {
        if (level is not [var left, var right] || right.X <= left.X)
            faults.Add("/level", "Give the left end and the right end of the level line: [[-100, 0], [100, 0]].");
        else if (Math.Abs(Math.Atan2(right.Y - left.Y, right.X - left.X)) > double.DegreesToRadians(LargestTiltDeg))
            faults.Add("/level", "The level line is tilted by more than 20 degrees: was the paper turned?");
    }

    private static void CheckShape(Faults faults, IReadOnlyList<PointMm> points, PointMm middle)
    {
        double left = points.Min(p => p.X), right = points.Max(p => p.X);
        if (right - left < ShortestSpanMm)
            faults.Add("/points", FormattableString.Invariant($"The trace spans {right - left:0.#} mm, no back is that narrow. Were the points in cm? Send mm."));
        else if (left >= middle.X || right <= middle.X)
            faults.Add("/points", "The trace lies on one side of the midline. x = 0 is the midline unless a midline is marked; - is the horse's left, + its right.");
        else if (IsUpsideDown(points, middle.X))
            faults.Add("/points", "The trace is upside down: y is depth and grows downwards from the midline. Turn the sign of every y.");
    }

    // The flanks lie below the midline; a trace in which most of them lie above it was drawn with y upwards.
    private static bool IsUpsideDown(IReadOnlyList<PointMm> points, double middleX)
    {
        var top = points.MinBy(p => Math.Abs(p.X - middleX)).Y;
        return points.Count(p => p.Y < top) * 2 > points.Count;
    }
}
