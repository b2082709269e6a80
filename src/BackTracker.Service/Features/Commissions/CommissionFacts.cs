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

    /// <summary>The tree as it was measured last since it was cut, as known on a day; null where nobody has.</summary>
    public static async Task<TreeShapeFact?> AsMeasuredAsync(ReadSession session, CommissionRow row, IReadOnlyList<CommissionStepRow> steps, DateOnly asOf)
    {
        if (steps.LastOrDefault(step => step.Stage == "tree-cut" && Instants.ReadDay(step.OnDay) <= asOf) is not { } cut)
            return null;
        var shapes = (await SaddleStore.TreeShapesAsync(session, [row.SaddleId])).Select(SaddleFacts.ToFact);
        return shapes.LastOrDefault(shape => shape.From >= Instants.ReadDay(cut.OnDay) && shape.From <= asOf);
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

    /// <summary>The saddle as it is planned on the horse, with the tree as it came where that is known.</summary>
    public static PairingFact Planned(CommissionRow row, TreeShapeFact? came)
    {
        var ordered = Ordered(row);
        return Laid(row, came ?? ordered, ordered.PanelMm, row.PadMm ?? 0);
    }

    /// <summary>Signs of soreness or of a saddle that does not lie well, seen on the horse since a day and still open.</summary>
    public static IEnumerable<ObservationRow> Soreness(IEnumerable<ObservationRow> observations, string since, CheckPolicy policy) =>
        observations.Where(seen => string.CompareOrdinal(seen.ObservedOn, since) >= 0 && ObservationFacts.ToFact(seen) is var fact
            && (Signs.IsVetFirst(fact, policy) || Signs.IsSaddleSign(fact)) && !Signs.IsClosed(fact, policy));
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
