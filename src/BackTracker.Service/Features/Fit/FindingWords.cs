using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Fit;

/// <summary>What a finding is called on a page.</summary>
internal static class FindingWords
{
    private static readonly Dictionary<string, string> Names = Enum.GetValues<Measure>().ToDictionary(MeasureFacts.Name, Name);

    /// <summary>"Bridging, left, near T13"; "Width at T13".</summary>
    public static string Name(FindingDocument finding)
    {
        var isAtItsStation = finding.Station is { } station && finding.Key.Contains($"@{station}", StringComparison.Ordinal);
        var where = finding.Station is null ? "" : isAtItsStation ? $" at {finding.Station}" : $", near {finding.Station}";
        return $"{Engine.Words.Sentence(Names.GetValueOrDefault(finding.Measure, finding.Measure))}{where}{(finding.Side is { } side ? $", {Words.Write(side)}" : "")}";
    }

    private static string Name(Measure measure) => measure switch
    {
        Measure.Asymmetry30 => "left against right 30 mm down",
        Measure.Asymmetry150 => "left against right 150 mm down",
        _ => MeasureFacts.Spoken(measure),
    };
}
