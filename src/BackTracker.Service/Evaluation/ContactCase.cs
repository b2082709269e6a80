using System.Text.Json.Nodes;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `contact`: a tree with its panel on a back, pressed down by a rider and a girth.</summary>
internal static class ContactCase
{
    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        try
        {
            var (back, laid) = FitCase.LaidOf(input);
            DownwardForce[] forces = [.. input.List("loads").Select(load => new DownwardForce(load!.Number("newton"), new PointMm(load!.Number("xMm"), load!.OptionalNumber("lateralMm") ?? 0)))];
            var stiffness = input.Number("modulusKPaPerMm");
            var saddle = BeddedPanel.Over(back, laid).Under(stiffness, forces);
            var answer = Answer(saddle);
            answer["edgePressureKPa"] = stiffness * DeepestCorner(laid.Tree, saddle.Pose);
            return answer;
        }
        catch (GeometryException refused)
        {
            return new JsonObject { ["error"] = FitFaults.Code(refused.Fault) };
        }
    }

    private static JsonObject Answer(LoadedSaddle saddle)
    {
        var answer = new JsonObject
        {
            ["heaveMm"] = saddle.Pose.HeaveMm,
            ["pitchDeg"] = saddle.Pose.PitchDeg,
            ["rollDeg"] = saddle.Pose.RollDeg,
            ["verticalN"] = saddle.ForceN,
            ["meanKPa"] = saddle.MeanKPa,
            ["peakKPa"] = saddle.Whole.PeakKPa,
            ["contactFraction"] = saddle.TouchingShare,
            ["centreOfPressureXMm"] = saddle.CentreOfPressure.X,
            ["centreOfPressureLateralMm"] = saddle.CentreOfPressure.Y,
            ["spineClearanceMm"] = saddle.Clearances.Min(place => place.RoomMm),
        };
        foreach (var zone in Enum.GetValues<Zone>())
            AddZone(answer, zone.ToString().ToLowerInvariant(), saddle.Of(zone));
        foreach (var side in Enum.GetValues<Side>())
            AddSide(answer, side, saddle);
        if (saddle.OneSideLifts)
            answer["warnings"] = new JsonArray("one_side_only");
        return answer;
    }

    // Closed forms of a flat footing are of its corner, where no patch has its middle.
    private static double DeepestCorner(TreeShape tree, Pose pose)
    {
        var corners = from end in new[] { tree.Stations[0], tree.Stations[^1] }
                      from lateral in new[] { -end.Left.ChannelHalfMm - end.Left.BearingMm, end.Right.ChannelHalfMm + end.Right.BearingMm }
                      select pose.DropAt(end.PositionMm - (.5 * (tree.FrontMm + tree.RearMm)), lateral);
        return corners.Max();
    }

    private static void AddZone(JsonObject answer, string zone, CarriedPart part)
    {
        answer[$"{zone}Share"] = part.Share;
        answer[$"{zone}PeakKPa"] = part.PeakKPa;
        answer[$"{zone}MeanKPa"] = part.MeanKPa;
    }

    private static void AddSide(JsonObject answer, Side side, LoadedSaddle saddle)
    {
        answer[$"{side.ToString().ToLowerInvariant()}Share"] = saddle.Of(side).Share;
        answer[$"bridge{side}Mm"] = saddle.BridgeMm(side);
        answer[$"contactStrips{side}"] = saddle.TouchedStrips(side);
    }
}
