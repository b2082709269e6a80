using System.Text.Json.Nodes;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `profile`: a drawn trace, cleaned, and its metrics; `error` where it is no cross-section.</summary>
internal static class ProfileCase
{
    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        var trace = Points(input.List("trace"), "input.trace");
        return Section.TryRead(trace, Marks(input), out var section, out var fault) ? Metrics(section) : Error(fault);
    }

    internal static JsonObject Error(TraceFault fault) => new() { ["error"] = TraceWords.Code(fault) };

    internal static JsonObject Metrics(Section section)
    {
        var metrics = new ProfileMetrics(section);
        var answer = new JsonObject { ["depthShiftMm"] = section.DepthShiftMm, ["rotationDeg"] = section.RotationDeg };
        foreach (var depth in new[] { ProfileMetrics.UpperDepthMm, ProfileMetrics.LowerDepthMm })
        {
            answer[$"halfLeft{depth}Mm"] = Reached(metrics.HalfLeftMm(depth));
            answer[$"halfRight{depth}Mm"] = Reached(metrics.HalfRightMm(depth));
            answer[$"width{depth}Mm"] = Reached(metrics.WidthMm(depth));
            answer[$"asymmetry{depth}Pct"] = Reached(metrics.AsymmetryPct(depth));
        }
        answer["shapeRatio"] = Reached(metrics.ShapeRatio);
        answer["angleLeftDeg"] = Reached(metrics.AngleLeftDeg);
        answer["angleRightDeg"] = Reached(metrics.AngleRightDeg);
        answer["fillLeftMm2"] = Reached(metrics.FillLeftMm2);
        answer["fillRightMm2"] = Reached(metrics.FillRightMm2);
        answer["warnings"] = new JsonArray([.. metrics.Warnings.Select(warning => (JsonNode)TraceWords.Code(warning))]);
        return answer;
    }

    internal static PointMm[] Points(JsonNode? node, string path)
    {
        var list = node as JsonArray ?? throw new FormatException($"{path} is not an array.");
        return [.. list.Select((point, i) => Point(point, $"{path}[{i}]"))];
    }

    private static PointMm Point(JsonNode? node, string path) => node is JsonArray { Count: 2 } pair
        ? new PointMm(Coordinate(pair[0], path), Coordinate(pair[1], path))
        : throw new FormatException($"{path} is not a pair of numbers.");

    // JSON has no NaN: it is written as null, and what is too large is infinite. Both are the engine's to refuse.
    private static double Coordinate(JsonNode? node, string path) => node is null ? double.NaN
        : node is JsonValue value && value.TryGetValue<double>(out var number) ? number
        : CaseReader.AsNumber(node, path);

    private static TraceMarks Marks(JsonNode input) => new(
        input.Optional("midlineMark") is { } mark ? Point(mark, "input.midlineMark") : null,
        input.Optional("levelLine") is { } line ? Level(Points(line, "input.levelLine")) : null);

    private static LevelLine Level(PointMm[] ends) =>
        ends is [var left, var right] ? new LevelLine(left, right) : throw new FormatException("input.levelLine does not have two ends.");

    private static JsonNode? Reached(double value) => double.IsNaN(value) ? null : value;
}
