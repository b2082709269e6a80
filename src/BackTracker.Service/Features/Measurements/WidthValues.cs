using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Measures;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Measurements;

/// <summary>A width of the back at a station and depth.</summary>
public sealed record WidthValues : ICheckedRequest
{
    private const double HalvesMayDifferMm = 2;

    /// <summary>
    /// Where along the back: T5 to T18. To find T18, follow the last rib up and forward to the spine (mean error 1 mm, SD 49 mm) rather than
    /// counting six processes back (mean error 43 mm); mark it and keep its distance from the withers.
    /// </summary>
    [Required]
    public string? Station { get; init; }

    /// <summary>Depth below the skin over the midline, 20 to 200 mm; 30 and 150 are the usual ones.</summary>
    [Required, Range(20, 200)]
    public int? DepthMm { get; init; }

    /// <summary>Width at that depth, mm.</summary>
    [Required]
    public double? WidthMm { get; init; }

    /// <summary>From a marked midline to the left flank, mm; only with the right one.</summary>
    public double? LeftHalfMm { get; init; }

    /// <summary>From a marked midline to the right flank, mm; only with the left one.</summary>
    public double? RightHalfMm { get; init; }

    /// <summary>Which of the repeats, from 1; 1 unless said.</summary>
    [Range(1, 20)]
    public int? Repeat { get; init; }

    public Station Place() => Engine.Measures.Station.TryParse(Station, out var place) ? place : throw new InvalidOperationException($"'{Station}' was not checked.");

    public int Turn() => Repeat ?? 1;

    public void Check(Faults faults)
    {
        if (!Engine.Measures.Station.TryParse(Station, out var station))
        {
            faults.Add("/station", MeasurementRules.StationHint);
            return;
        }
        MeasurementRules.CheckPlausible(faults, "/widthMm", Metric.Width(station, DepthMm!.Value), WidthMm);
        MeasurementRules.CheckPlausible(faults, "/leftHalfMm", new Metric(Quantity.HalfLeft, station, DepthMm), LeftHalfMm);
        MeasurementRules.CheckPlausible(faults, "/rightHalfMm", new Metric(Quantity.HalfRight, station, DepthMm), RightHalfMm);
        if (LeftHalfMm is null != RightHalfMm is null)
            faults.Add(LeftHalfMm is null ? "/leftHalfMm" : "/rightHalfMm", "Give both halves or neither.");
        else if (Math.Abs((LeftHalfMm + RightHalfMm - WidthMm) ?? 0) > HalvesMayDifferMm)
            faults.Add("/widthMm", FormattableString.Invariant($"The halves add up to {LeftHalfMm + RightHalfMm:0.#} mm, the width is {WidthMm:0.#} mm: measure again, or leave the halves out."));
    }
}
