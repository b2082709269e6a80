using System.ComponentModel.DataAnnotations;
using System.Diagnostics.CodeAnalysis;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Measurements;

/// <summary>A trace across the back, from the horse's left to its right.</summary>
public sealed record TraceValues : ICheckedRequest
{
    private static readonly Box Plausible = new(-700, 700, -700, 700);

    /// <summary>
    /// Where along the back: T5 to T18. To find T18, follow the last rib up and forward to the spine (mean error 1 mm, SD 49 mm) rather than
    /// counting six processes back (mean error 43 mm); mark it and keep its distance from the withers.
    /// </summary>
    [Required]
    public string? Station { get; init; }

    /// <summary>Which of the repeats, from 1; 1 unless said.</summary>
    [Range(1, 20)]
    public int? Repeat { get; init; }

    /// <summary>
    /// 5 to 2000 points [x mm, y mm] in the order drawn: x + = the horse's right, y + = down, 0 = skin over the midline. Read off a point every
    /// 5 mm across the back, down to 150 mm below the midline on both sides; steps over 40 mm are refused.
    /// </summary>
    [Required, MinLength(5, ErrorMessage = "A trace has 5 points or more."), MaxLength(2000, ErrorMessage = "A trace has at most 2000 points.")]
    public IReadOnlyList<IReadOnlyList<double>>? Points { get; init; }

    /// <summary>The marked midline, [x mm, y mm]. Left and right are told apart only where it and a level line are marked.</summary>
    public IReadOnlyList<double>? Midline { get; init; }

    /// <summary>What was level on the horse, left end and right end: [[x, y], [x, y]] in mm, as long as the paper allows; tilted by at most 20 degrees.</summary>
    public IReadOnlyList<IReadOnlyList<double>>? Level { get; init; }

    public Station Place() => Engine.Measures.Station.TryParse(Station, out var place) ? place : throw new InvalidOperationException($"'{Station}' was not checked.");

    public int Turn() => Repeat ?? 1;

    /// <summary>The cross-section it shows, of points and marks that were checked.</summary>
    public bool TryRead([NotNullWhen(true)] out Section? section, out TraceFault fault) =>
        Section.TryRead(PointRules.Of(Points!), new TraceMarks(Midline is null ? null : PointRules.Of(Midline), Level is null ? null : LeftToRight(Level)), out section, out fault);

    public void Check(Faults faults)
    {
        if (!Engine.Measures.Station.TryParse(Station, out _))
            faults.Add("/station", MeasurementRules.StationHint);
        PointRules.Read(faults, "/points", Points!, Plausible);
        if (Midline is not null)
            PointRules.Read(faults, "/midline", [Midline], Plausible);
        if (Level is not null && PointRules.Read(faults, "/level", Level, Plausible) is var ends && !(ends is [var one, var other] && one != other))
            faults.Add("/level", "Give the left end and the right end of the level line: [[-100, 0], [100, 0]].");
        if (!faults.Any)
            CheckShape(faults);
    }

    private void CheckShape(Faults faults)
    {
        var isSection = TryRead(out _, out var fault);
        if (!isSection)
            faults.Add(PlaceOf(fault), TraceWords.Sentence(fault));
        if ((isSection || fault == TraceFault.GapTooLarge) && IsUpsideDown())
            faults.Add("/points", "The trace is upside down: y is depth and grows downwards from the midline. Turn the sign of every y.");
    }

    private string PlaceOf(TraceFault fault) => fault switch
    {
        TraceFault.RotationTooLarge => "/level",
        TraceFault.MidlineOutsideTrace when Midline is not null => "/midline",
        _ => "/points",
    };

    private static LevelLine LeftToRight(IReadOnlyList<IReadOnlyList<double>> ends)
    {
        PointMm one = PointRules.Of(ends[0]), other = PointRules.Of(ends[1]);
        return one.X <= other.X ? new LevelLine(one, other) : new LevelLine(other, one);
    }

    // The flanks lie below the midline; a trace in which most of them lie above it was drawn with y upwards.
    private bool IsUpsideDown()
    {
        var middle = Midline?[0] ?? 0;
        var top = Points!.MinBy(p => Math.Abs(p[0] - middle))![1];
        return Points!.Count(p => p[1] < top) * 2 > Points!.Count;
    }
}
