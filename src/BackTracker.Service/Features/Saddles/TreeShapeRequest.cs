using System.ComponentModel.DataAnnotations;
using System.Globalization;
using BackTracker.Engine.Measures;
using BackTracker.Service.Http;
using BackTracker.Storage.Saddles;

namespace BackTracker.Service.Features.Saddles;

/// <summary>One side of a tree at a station: where its bearing surface begins, how wide it is, and how it slopes.</summary>
public sealed record TreeSideRequest : ICheckedRequest
{
    /// <summary>From the middle to the inner edge, mm.</summary>
    [Required, Range(0.0, 150.0)]
    public double? ChannelHalfMm { get; init; }

    /// <summary>Width of the bearing surface, mm.</summary>
    [Required, Range(10.0, 300.0)]
    public double? BearingMm { get; init; }

    /// <summary>
    /// Depth of the inner edge below a straight datum that runs level along the tree when it sits level, mm; laid on the skin over T8, it is the
    /// depth below the skin there. Only differences along the tree matter, and how the datum lies when the saddle is level.
    /// </summary>
    [Required, Range(-100.0, 200.0)]
    public double? InnerDepthMm { get; init; }

    /// <summary>Points [u, v] of the surface from the inner edge: outward and down, mm.</summary>
    [MinLength(2), MaxLength(500)]
    public IReadOnlyList<IReadOnlyList<double>>? Surface { get; init; }

    /// <summary>Slope of a flat surface against the horizontal, degrees.</summary>
    [Range(0.0, 80.0)]
    public double? AngleDeg { get; init; }

    public void Check(Faults faults)
    {
        if (Surface is null == AngleDeg is null)
            faults.Add("/surface", "Give either surface points or one angleDeg, not both and not neither.");
        for (var i = 0; i < Surface?.Count; i++)
        {
            if (Surface[i].Count != 2)
                faults.Add($"/surface/{i}", "A point is [u, v]: two numbers.");
            else if (i > 0 && Surface[i - 1].Count == 2 && Surface[i][0] <= Surface[i - 1][0])
                faults.Add($"/surface/{i}", "Points run outward: u has to grow.");
        }
    }
}

/// <summary>A tree at one station: by widths at a named station, or by its two sides at a distance from its front edge.</summary>
public sealed record TreeStationRequest : ICheckedRequest
{
    private const double NarrowestMm = 150; // Common practice, no source.
    private const double WidestMm = 600;

    /// <summary>Station of the back it sits over, "T13"; for the form by widths.</summary>
    public string? Station { get; init; }

    /// <summary>Width between the bearing surfaces 30 mm below the middle, mm.</summary>
    public double? Width30Mm { get; init; }

    /// <summary>Width between the bearing surfaces 150 mm below the middle, mm.</summary>
    public double? Width150Mm { get; init; }

    /// <summary>Distance from the tree's front edge, mm; for the form by sides.</summary>
    [Range(0.0, 900.0)]
    public double? FromFrontMm { get; init; }

    /// <summary>Height of the channel's roof above the inner edges, mm.</summary>
    [Range(0.0, 300.0)]
    public double? ChannelHeightMm { get; init; }

    /// <summary>The left side.</summary>
    public TreeSideRequest? Left { get; init; }

    /// <summary>The right side.</summary>
    public TreeSideRequest? Right { get; init; }

    internal Station Place() => Engine.Measures.Station.TryParse(Station, out var place) ? place : throw new InvalidOperationException($"'{Station}' was not checked.");

    // Not public: it would be a member of the JSON.
    internal bool ByWidths => Station is not null || Width150Mm is not null || Width30Mm is not null;

    public void Check(Faults faults)
    {
        if (ByWidths)
            CheckWidths(faults);
        else
            CheckSides(faults);
    }

    private void CheckWidths(Faults faults)
    {
        if (FromFrontMm is not null || ChannelHeightMm is not null || Left is not null || Right is not null)
            faults.Add("/fromFrontMm", "Give a station by widths (station, width150Mm, width30Mm) or by sides (fromFrontMm, channelHeightMm, left, right), not a mixture.");
        if (!Engine.Measures.Station.TryParse(Station, out var station))
        {
            faults.Add("/station", "A station is T5 to T18.");
            return;
        }
        if (Width150Mm is not { } width)
            faults.Add("/width150Mm", "The width 150 mm below the middle is needed: it is what is compared with the back.");
        else if (Plausibility.Check(Metric.Width(station, 150), width) is { } hint)
            faults.Add("/width150Mm", hint);
        else if (width is < NarrowestMm or > WidestMm)
            faults.Add("/width150Mm", $"A tree is {NarrowestMm} to {WidestMm} mm wide 150 mm below the middle. Measure it again.");
        if (Width30Mm is { } top && Plausibility.Check(Metric.Width(station, 30), top) is { } topHint)
            faults.Add("/width30Mm", topHint);
    }

    private void CheckSides(Faults faults)
    {
        foreach (var (pointer, missing) in new[] { ("/fromFrontMm", FromFrontMm is null), ("/channelHeightMm", ChannelHeightMm is null), ("/left", Left is null), ("/right", Right is null) })
            if (missing)
                faults.Add(pointer, "Needed, unless the station is given by widths (station and width150Mm).");
    }
}

/// <summary>The panel under the tree.</summary>
public sealed record PanelRequest
{
    /// <summary>Thickness, mm.</summary>
    [Required, Range(0.0, 100.0)]
    public double? ThicknessMm { get; init; }
}

/// <summary>The shape of a tree.</summary>
public record TreeRequest : ICheckedRequest
{
    /// <summary>The tree from front to rear.</summary>
    [Required, MinLength(1), MaxLength(40)]
    public IReadOnlyList<TreeStationRequest>? Stations { get; init; }

    /// <summary>Length of the bearing surface, mm; needed where stations are given by sides.</summary>
    [Range(50.0, 900.0)]
    public double? BearingLengthMm { get; init; }

    /// <summary>The panel.</summary>
    public PanelRequest? Panel { get; init; }

    public void Check(Faults faults)
    {
        var stations = Stations!;
        if (stations.Any(s => !s.ByWidths) && BearingLengthMm is null)
            faults.Add("/bearingLengthMm", "Needed where a station is given by its sides.");
        if (stations.Max(s => s.FromFrontMm) > BearingLengthMm)
            faults.Add("/bearingLengthMm", "A station lies behind the end of the bearing surface: look at the two lengths.");
        for (var i = 1; i < stations.Count; i++)
        {
            if (stations[i].FromFrontMm <= stations.Take(i).Max(s => s.FromFrontMm))
                faults.Add(string.Create(CultureInfo.InvariantCulture, $"/stations/{i}/fromFrontMm"), "Stations run from front to rear: fromFrontMm has to grow.");
            if (stations[i].ByWidths && stations.Take(i).Any(s => s.Station == stations[i].Station))
                faults.Add(string.Create(CultureInfo.InvariantCulture, $"/stations/{i}/station"), $"{stations[i].Station} is there twice.");
        }
    }
}

/// <summary>The shape of a tree from a day on.</summary>
public sealed record TreeShapeRequest : TreeRequest
{
    /// <summary>First day of this shape.</summary>
    [Required]
    public DateOnly? From { get; init; }

    /// <summary>Anything else.</summary>
    [StringLength(2000)]
    public string? Note { get; init; }
}

/// <summary>The shape of a tree from a day on.</summary>
/// <param name="Id">Id.</param>
/// <param name="SaddleId">The saddle.</param>
/// <param name="Shape">The shape as recorded.</param>
/// <param name="VoidedAt">When it was voided.</param>
/// <param name="VoidReason">Why.</param>
/// <param name="CreatedAt">When it was recorded.</param>
public sealed record TreeShapeAnswer(string Id, string SaddleId, TreeShapeRequest Shape, string? VoidedAt, string? VoidReason, string CreatedAt)
{
    public static TreeShapeAnswer Of(TreeShapeRow row) => new(
        row.Id, row.SaddleId, Json.Read<TreeShapeRequest>(row.Body), row.VoidedAt, row.VoidReason, row.CreatedAt);
}
