using System.Text.Json.Nodes;
using BackTracker.Engine.Profiles;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `profile-mean`: the polar mean of repeated traces and the metrics of that mean curve; `error` where one of them is no cross-section.</summary>
internal static class ProfileMeanCase
{
    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var repeats = new List<Section>();
        foreach (var (i, trace) in CaseReader.Input(caseFile).List("traces").Index())
        {
            if (!Section.TryRead(ProfileCase.Points(trace, $"input.traces[{i}]"), default, out var section, out var fault))
                return ProfileCase.Error(fault);
            repeats.Add(section);
        }
        var mean = PolarMean.Of(repeats);
        return new JsonObject
        {
            ["firstThetaDeg"] = mean.FirstThetaDeg,
            ["lastThetaDeg"] = mean.LastThetaDeg,
            ["points"] = new JsonArray([.. mean.Points.Select(point => (JsonNode)new JsonArray(point.X, point.Y))]),
            ["sdMm"] = new JsonArray([.. mean.SdMm.Select(sd => double.IsNaN(sd) ? null : (JsonNode)sd)]),
            ["meanCurveMetrics"] = ProfileCase.Metrics(mean.ToSection()),
        };
    }
}
