using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Observations;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>Stored commissions as the engine takes them.</summary>
internal static class CommissionFacts
{
    /// <summary>The tree that was ordered, with its planned panel.</summary>
    public static TreeShapeFact Ordered(CommissionRow row) => SaddleFacts.ToFact("ordered", Instants.ReadDay(row.OrderedOn), Json.Read<TreeRequest>(row.OrderedTree));

    /// <summary>A commission with what was measured of its tree.</summary>
    public static async Task<CommissionFact> LoadAsync(ReadSession session, CommissionRow row, IReadOnlyList<CommissionStepRow> steps) =>
        ToFact(row, steps, await SaddleStore.TreeShapesAsync(session, [row.SaddleId]));

    /// <summary>A commission as the engine takes it.</summary>
    /// <param name="row">The commission.</param>
    /// <param name="steps">Steps, its own among them.</param>
    /// <param name="shapes">Tree shapes that count, those of its saddle among them.</param>
    public static CommissionFact ToFact(CommissionRow row, IEnumerable<CommissionStepRow> steps, IEnumerable<TreeShapeRow> shapes)
    {
        var ordered = Ordered(row);
        return new CommissionFact(
            row.Id, Instants.ReadDay(row.DeliveryOn),
            [.. steps.Where(step => step.CommissionId == row.Id).Select(step => new StageFact(Words.Read<CommissionStage>(step.Stage), Instants.ReadDay(step.OnDay)))],
            Laid(row, ordered, ordered.PanelMm, row.PadMm ?? 0), [.. shapes.Where(shape => shape.SaddleId == row.SaddleId).Select(SaddleFacts.ToFact)]);
    }

    /// <summary>The saddle on the horse with one shape of its tree.</summary>
    /// <param name="row">The commission.</param>
    /// <param name="tree">The tree.</param>
    /// <param name="panelMm">What lies between tree and skin as its panel, mm.</param>
    /// <param name="padMm">What lies under that, mm.</param>
    public static PairingFact Laid(CommissionRow row, TreeShapeFact tree, double panelMm, double padMm) => new(
        row.Id, row.SaddleId, row.SaddleLabel, tree.From, null, null, [tree with { PanelMm = panelMm }], [], FitTolerances.Default, new Dictionary<string, Severity>())
    {
        Tree = Words.Read<TreeKind>(row.SaddleTree),
        Filling = Words.Read<Filling>(row.SaddleFilling),
        TreeFrontFromT8Mm = row.TreeFrontFromT8Mm,
        PadMm = padMm,
    };

    /// <summary>Signs of soreness or of a saddle that does not lie well, seen on the horse since a day and still open.</summary>
    public static IEnumerable<ObservationRow> Soreness(IEnumerable<ObservationRow> observations, string since, CheckPolicy policy) =>
        observations.Where(seen => string.CompareOrdinal(seen.ObservedOn, since) >= 0 && ObservationFacts.ToFact(seen) is var fact
            && (Signs.IsVetFirst(fact, policy) || Signs.IsSaddleSign(fact)) && !Signs.IsClosed(fact, policy));
}

/// <summary>The saddles that are being made for a horse, as stored.</summary>
/// <param name="Rows">The commissions.</param>
/// <param name="Steps">Their steps.</param>
/// <param name="Shapes">Shapes of their trees that count.</param>
public sealed record StoredCommissions(IReadOnlyList<CommissionRow> Rows, IReadOnlyList<CommissionStepRow> Steps, IReadOnlyList<TreeShapeRow> Shapes)
{
    public static async Task<StoredCommissions> LoadAsync(ReadSession session, string horseId)
    {
        var rows = await CommissionStore.BeingMadeForAsync(session, horseId);
        return rows.Count == 0
            ? new StoredCommissions([], [], [])
            : new StoredCommissions(
                rows, await CommissionStore.StepsAsync(session, [.. rows.Select(row => row.Id)]), await SaddleStore.TreeShapesAsync(session, [.. rows.Select(row => row.SaddleId)]));
    }

    public IReadOnlyList<CommissionFact> ToFacts() => [.. Rows.Select(row => CommissionFacts.ToFact(row, Steps, Shapes))];
}

/// <summary>A trial as the engine takes it, with what was recorded.</summary>
internal static class KnownTrial
{
    /// <summary>The latest trial of a commission.</summary>
    public static async Task<(Trial Trial, IReadOnlyList<TrialRow> Rows)> LoadAsync(ReadSession session, CommissionRow row, CheckPolicy policy)
    {
        var rows = await CommissionRecords.TrialAsync(session, row.Id, row.Round);
        return (Of(rows, rows.Count == 0 ? [] : await ObservationStore.LiveOfHorseAsync(session, row.HorseId), policy), rows);
    }

    public static Trial Of(IReadOnlyList<TrialRow> rows, IEnumerable<ObservationRow> observations, CheckPolicy policy) =>
        new(TrialItems.Usual, [.. rows.SelectMany(row => Json.Read<TrialItemRequest[]>(row.Items)).Select(item => item.ToFinding())])
        {
            SorenessAfter = rows.Count == 0 ? [] : [.. CommissionFacts.Soreness(observations, rows[0].OnDay, policy).Select(VetFirstSigns.Text)],
        };
}
