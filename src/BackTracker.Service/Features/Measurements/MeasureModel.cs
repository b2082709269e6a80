using BackTracker.Service.Http;
using BackTracker.Service.Pages;

namespace BackTracker.Service.Features.Measurements;

/// <summary>A width that can be filled in.</summary>
/// <param name="Name">Pointer of its entry.</param>
/// <param name="Station">Where along the back.</param>
/// <param name="DepthMm">How far below the midline.</param>
/// <param name="Repeat">Which of the repeats.</param>
public sealed record WidthPlace(string Name, string Station, int DepthMm, int Repeat);

/// <summary>A drawing across the back that can be filled in.</summary>
/// <param name="Name">Pointer of its entry.</param>
/// <param name="Station">Where along the back.</param>
/// <param name="Repeat">Which of the repeats.</param>
public sealed record TracePlace(string Name, string Station, int Repeat);

/// <summary>What can be filled in: the usual places, and whatever else the measurement holds that is taken again.</summary>
/// <param name="Widths">Widths; none where only drawings are asked for.</param>
/// <param name="Traces">Drawings; none where only widths are asked for.</param>
/// <param name="Positions">Stations whose distance from T8 is asked for with the drawings.</param>
public sealed record MeasurePlaces(IReadOnlyList<WidthPlace> Widths, IReadOnlyList<TracePlace> Traces, IReadOnlyList<string> Positions);

/// <summary>What the measure form shows.</summary>
public sealed record MeasureModel
{
    /// <summary>The horse.</summary>
    public required Named Horse { get; init; }

    /// <summary>Its yard.</summary>
    public required Named Yard { get; init; }

    /// <summary>The clock its times are on.</summary>
    public required string Zone { get; init; }

    /// <summary>Whose form it is, see <see cref="Caller.Who"/>.</summary>
    public required string Who { get; init; }

    /// <summary>Who can have measured; none where the key says who it is.</summary>
    public required IReadOnlyList<(string Value, string Text)> People { get; init; }

    /// <summary>What can be filled in.</summary>
    public required MeasurePlaces Places { get; init; }

    /// <summary>Id of the measurement that is taken again; empty for a new one.</summary>
    public required string Corrects { get; init; }

    /// <summary>What is filled in.</summary>
    public required FormState Form { get; init; }
}

/// <summary>What the page of a measurement shows.</summary>
public sealed record MeasurementModel
{
    /// <summary>The measurement.</summary>
    public required MeasurementAnswer Measurement { get; init; }

    /// <summary>The horse.</summary>
    public required Named Horse { get; init; }

    /// <summary>Its yard.</summary>
    public required Named Yard { get; init; }

    /// <summary>Who measured, when on the yard's clock, with what.</summary>
    public required string Circumstances { get; init; }

    /// <summary>Whether whoever looks may take it again or void it.</summary>
    public required bool MayRecord { get; init; }

    /// <summary>The form to void it.</summary>
    public required FormState Form { get; init; }
}
