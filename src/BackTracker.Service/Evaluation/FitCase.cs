using System.Text.Json.Nodes;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Service.Evaluation;

/// <summary>Kind `fit`: a tree with its panel on a back, without a rider.</summary>
internal static class FitCase
{
    public static JsonNode Evaluate(JsonNode caseFile)
    {
        var input = CaseReader.Input(caseFile);
        try
        {
            var (back, laid) = LaidOf(input);
            return Answer(SaddleFit.On(back, laid), back, input.OptionalNumber("scapulaEdgeMm"));
        }
        catch (GeometryException refused)
        {
            return new JsonObject { ["error"] = FitFaults.Code(refused.Fault) };
        }
    }

    /// <summary>Back and tree of a case, ready to be laid on each other; the seat over the middle of the tree unless said.</summary>
    public static (BackShape Back, LaidTree Laid) LaidOf(JsonNode input)
    {
        var tree = TreeOf(input.Member("tree"));
        var back = BackOf(input.Member("back"));
        var usual = FitSetting.For(tree);
        var setting = usual with
        {
            Seat = new PointMm(input.OptionalNumber("seatXMm") ?? usual.Seat.X, input.OptionalNumber("seatLateralMm") ?? 0),
            SpinousHalfMm = input.OptionalNumber("spinousHalfMm") ?? FitSetting.UsualSpinousHalfMm,
            Size = new PatchSize(input.OptionalNumber("stripMm") ?? PatchSize.Usual.StripMm, (int)(input.OptionalNumber("cellsPerSide") ?? PatchSize.Usual.CellsPerSide)),
        };
        return (back, LaidTree.For(back, tree, PanelOf(input.Optional("panel")), setting));
    }

    private static BackShape BackOf(JsonNode back) => new(
        [.. back.List("stations").Select(StationOf)],
        [.. back.OptionalList("topline").Select((point, i) => PointOf(point, $"input.back.topline[{i}]"))]);

    private static BackStation StationOf(JsonNode? station)
    {
        var trace = station!.List("trace").Select((point, i) => PointOf(point, $"trace[{i}]"));
        return Section.TryRead([.. trace], default, out var section, out var fault)
            ? new BackStation(station!.Number("positionMm"), section.Left, section.Right)
            : throw new FormatException($"{station!.GetPath()}: {TraceWords.Code(fault)}");
    }

    private static TreeShape TreeOf(JsonNode tree) => tree.OptionalFlag("treeless")
        ? throw new GeometryException(FitFault.NoRigidTree)
        : new TreeShape([.. tree.List("stations").Select(station => new TreeStation(
            station!.Number("positionMm"), station!.Number("channelHeightMm"), SideOf(station!.Member("left")), SideOf(station!.Member("right"))))]);

    private static TreeSide SideOf(JsonNode side)
    {
        var (channel, bearing, inner) = (side.Number("channelHalfMm"), side.Number("bearingMm"), side.Number("innerDepthMm"));
        return side.Optional("surface") is null
            ? TreeSide.Flat(channel, bearing, inner, side.Number("angleDeg"))
            : new TreeSide(channel, bearing, inner, [.. side.List("surface").Select((point, i) => PointOf(point, $"surface[{i}]"))]);
    }

    private static Panel PanelOf(JsonNode? panel)
    {
        if (panel is null)
            return Panel.None;
        var thickness = panel.Number("thicknessMm");
        return new Panel(ZonesOf("left"), ZonesOf("right"));

        ZoneThickness ZonesOf(string side) => panel.Optional("adjustMm") is { } adjust && adjust.NumbersOf(side, 3) is [var front, var middle, var rear]
            ? new ZoneThickness(thickness + front, thickness + middle, thickness + rear)
            : ZoneThickness.Even(thickness);
    }

    private static PointMm PointOf(JsonNode? point, string path) =>
        CaseReader.AsNumbers(point, path) is [var x, var y] ? new PointMm(x, y) : throw new FormatException($"{path} is not a pair of numbers.");

    private static JsonObject Answer(SaddleFit fit, BackShape back, double? scapulaEdgeMm)
    {
        var answer = new JsonObject
        {
            ["stations"] = new JsonArray([.. back.Stations.Select((station, i) => StationAnswer(fit, station, i))]),
            ["rest"] = RestAnswer(fit),
            ["spineClearanceMm"] = fit.SpineClearance.RoomMm,
            ["spineClearanceAtMm"] = fit.SpineClearance.AtMm,
            ["leftChannelClearanceMm"] = fit.LeftChannelClearanceMm,
            ["rightChannelClearanceMm"] = fit.RightChannelClearanceMm,
            ["leftBridgingMm"] = fit.LeftBridging.MostMm,
            ["leftBridgeLengthMm"] = fit.LeftBridging.LengthMm,
            ["rightBridgingMm"] = fit.RightBridging.MostMm,
            ["rightBridgeLengthMm"] = fit.RightBridging.LengthMm,
            ["rockingMm"] = fit.RockingMm,
            ["rockingDeg"] = fit.RockingDeg,
            ["reachPastT18Mm"] = fit.Tree.RearMm - back.Stations[^1].PositionMm,
        };
        if (scapulaEdgeMm is { } edge)
            answer["shoulderRoomMm"] = fit.Tree.FrontMm - edge;
        return answer;
    }

    private static JsonObject RestAnswer(SaddleFit fit) => new()
    {
        ["loadPointDropMm"] = fit.LoadPointDropMm,
        ["heaveMm"] = fit.Rest.HeaveMm,
        ["pitchDeg"] = fit.Rest.PitchDeg,
        ["rollDeg"] = fit.Rest.RollDeg,
        ["minGapMm"] = fit.Gaps.LeastMm,
        ["meanGapMm"] = fit.Gaps.MeanMm,
        ["maxGapMm"] = fit.Gaps.MostMm,
        ["poseUnique"] = fit.Gaps.Pose == PoseKind.Unique,
    };

    private static JsonObject StationAnswer(SaddleFit fit, BackStation station, int index)
    {
        if (fit.Stations.FirstOrDefault(compared => compared.Station == index) is not { } compared)
            return new JsonObject { ["positionMm"] = station.PositionMm, ["covered"] = false };
        var (left, right) = (compared.Left, compared.Right);
        return new JsonObject
        {
            ["positionMm"] = station.PositionMm,
            ["covered"] = true,
            ["innerEdgeDepthMm"] = compared.InnerEdgeDepthMm,
            ["outerEdgeDepthMm"] = compared.OuterEdgeDepthMm,
            ["depthUsed30Mm"] = compared.DepthUsed30Mm,
            ["leftHalfMismatch30Mm"] = left.HalfMismatch30Mm,
            ["rightHalfMismatch30Mm"] = right.HalfMismatch30Mm,
            ["widthMismatch30Mm"] = compared.WidthMismatch30Mm,
            ["depthUsed150Mm"] = compared.DepthUsed150Mm,
            ["leftHalfMismatch150Mm"] = left.HalfMismatch150Mm,
            ["rightHalfMismatch150Mm"] = right.HalfMismatch150Mm,
            ["widthMismatch150Mm"] = compared.WidthMismatch150Mm,
            ["leftTreeAngleDeg"] = left.TreeAngleDeg,
            ["leftAngleMismatchDeg"] = left.AngleMismatchDeg,
            ["leftChannelHalfMm"] = left.ChannelHalfMm,
            ["rightTreeAngleDeg"] = right.TreeAngleDeg,
            ["rightAngleMismatchDeg"] = right.AngleMismatchDeg,
            ["rightChannelHalfMm"] = right.ChannelHalfMm,
            ["channelWidthMm"] = compared.ChannelWidthMm,
        };
    }
}
