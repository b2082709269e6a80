using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Fit;

/// <summary>The numbers behind a width finding on a day; all widths 150 mm below the middle, in mm.</summary>
/// <param name="TreeWidthMm">Width of the tree on that day, alterations counted in.</param>
/// <param name="BackWidthMm">Expected width of the back.</param>
/// <param name="BackSdMm">Standard deviation of the back's width, without the tree's own measuring error.</param>
/// <param name="MismatchMm">Tree less back; + = tree wide.</param>
/// <param name="MismatchSdMm">Standard deviation of the mismatch, the tree's own measuring error counted in.</param>
/// <param name="ProbabilityNarrow">Probability that the tree is narrower than the narrow limit allows, surprises left out.</param>
/// <param name="ProbabilityWide">Probability that the tree is wider than the wide limit allows, surprises left out.</param>
/// <param name="ProbabilityOut">Probability that it is out either way, surprises counted in.</param>
public readonly record struct WidthNumbers(
    double TreeWidthMm,
    double BackWidthMm,
    double BackSdMm,
    double MismatchMm,
    double MismatchSdMm,
    double ProbabilityNarrow,
    double ProbabilityWide,
    double ProbabilityOut);

/// <summary>Tree against back at one station on one day, by widths alone.</summary>
/// <param name="Station">Where on the back.</param>
/// <param name="On">The day the finding is about.</param>
/// <param name="TreeShapeId">Id of the tree shape it rests on.</param>
/// <param name="Limits">Limits of the mismatch, mm.</param>
/// <param name="Numbers">The numbers; null where <paramref name="Severity"/> is unknown because a measurement is missing.</param>
/// <param name="Severity">How it stands.</param>
/// <param name="Text">The finding in words, with numbers and units; names the missing measurement where it is unknown.</param>
public sealed record WidthFinding(
    Station Station, DateOnly On, string TreeShapeId, WidthTolerances Limits, WidthNumbers? Numbers, Severity Severity, string Text)
{
    /// <summary>Name of the measure, the same for every station.</summary>
    public const string MeasureName = "width150";

    /// <summary>Name of the measure: "width150".</summary>
    public string Measure { get; } = MeasureName;

    /// <summary>Key of the finding, for example "width150@T13".</summary>
    public string Key => KeyOf(Station);

    /// <summary>Key of the width finding at a station.</summary>
    public static string KeyOf(Station station) => $"{MeasureName}@{station}";
}
