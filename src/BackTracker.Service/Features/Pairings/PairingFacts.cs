using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Pairings;

namespace BackTracker.Service.Features.Pairings;

/// <summary>Stored pairings as the engine takes them.</summary>
internal static class PairingFacts
{
    public static PairingFact ToFact(
        PairingRow row, IReadOnlyList<TreeShapeFact> shapes, IReadOnlyList<AdjustmentFact> adjustments,
        IReadOnlyDictionary<string, Severity> lastSeverities) => new(
        row.Id, row.SaddleId, row.SaddleLabel, Instants.ReadDay(row.FromDay), Instants.ReadDayIfAny(row.ToDay),
        row.WeeklyMinutes, shapes, adjustments, TolerancesOf(row), lastSeverities)
        {
            Tree = Words.Read<TreeKind>(row.SaddleTree),
            Filling = Words.Read<Filling>(row.SaddleFilling),
            MadeOn = Instants.ReadDayIfAny(row.SaddleMadeOn),
            TreeFrontFromT8Mm = row.TreeFrontFromT8Mm,
            PadMm = row.PadMm ?? 0,
        };

    public static FitTolerances TolerancesOf(PairingRow row) =>
        row.Tolerances is null ? FitTolerances.Default : Json.Read<TolerancesRequest>(row.Tolerances).ToEngine();
}
