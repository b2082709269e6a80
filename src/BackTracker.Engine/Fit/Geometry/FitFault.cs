namespace BackTracker.Engine.Fit.Geometry;

/// <summary>Why tree and back cannot be laid on each other.</summary>
public enum FitFault
{
    /// <summary>A treeless saddle has no rigid tree.</summary>
    NoRigidTree,

    /// <summary>The tree is known at fewer than two stations.</summary>
    TooFewTreeStations,

    /// <summary>The back is known at fewer than two stations.</summary>
    TooFewStations,

    /// <summary>Stations do not run from front to rear.</summary>
    StationsNotOrdered,

    /// <summary>The tree or its panel folds over itself, or crosses the middle.</summary>
    TreeGeometryInvalid,

    /// <summary>The sections are narrower than the panel on more than a tenth of it.</summary>
    ProfileTooNarrowForTree,

    /// <summary>The seat lies outside what carries it, or less than 1 mm inside.</summary>
    LoadOutsideSupport,

    /// <summary>Nothing presses the saddle down, or something lifts it.</summary>
    NoLoad,

    /// <summary>What carries the saddle lies in one line.</summary>
    SupportDegenerate,

    /// <summary>The resting position was not found: a defect of the program if it is ever seen.</summary>
    NotConverged,
}

/// <summary>Tree and back cannot be laid on each other.</summary>
/// <param name="fault">Why.</param>
public sealed class GeometryException(FitFault fault) : Exception(FitFaults.Sentence(fault))
{
    /// <summary>Why.</summary>
    public FitFault Fault { get; } = fault;
}

/// <summary>Faults of the geometry as codes and in words.</summary>
public static class FitFaults
{
    /// <summary>The code, "too_few_stations".</summary>
    public static string Code(FitFault fault) =>
        string.Concat(fault.ToString().Select((letter, i) => char.IsUpper(letter) ? $"{(i > 0 ? "_" : "")}{char.ToLowerInvariant(letter)}" : $"{letter}"));

    /// <summary>What is wrong and how it is mended, for somebody who runs a yard.</summary>
    public static string Sentence(FitFault fault) => fault switch
    {
        FitFault.NoRigidTree => "A treeless saddle has no rigid tree to lay on the back.",
        FitFault.TooFewTreeStations => "Measure the tree at two places or more from front to rear.",
        FitFault.TooFewStations => "Measure the back at two stations or more: T8, T13 and T18.",
        FitFault.StationsNotOrdered => "Stations do not run from front to rear: look at their positions.",
        FitFault.TreeGeometryInvalid => "The tree's surface with its panel folds over itself or crosses the middle: measure tree and panel again.",
        FitFault.ProfileTooNarrowForTree => "The traces end above the lower edge of the panel: trace further down the sides.",
        FitFault.LoadOutsideSupport => "The saddle would tip: the seat lies beyond what carries it. Look at where the tree's front edge lies.",
        FitFault.NoLoad => "Nothing presses the saddle down: say what the rider weighs.",
        FitFault.SupportDegenerate => "The panel has no breadth to rest on: measure the tree's bearing surfaces again.",
        _ => "The resting position could not be computed.",
    };
}
