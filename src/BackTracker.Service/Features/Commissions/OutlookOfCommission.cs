using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>A width that is expected of the back.</summary>
/// <param name="Metric">Which, for example T13.width150.</param>
/// <param name="ExpectedMm">Expected, mm.</param>
/// <param name="Band80">The 80 % band, mm.</param>
public sealed record ExpectedWidthAnswer(string Metric, double ExpectedMm, IReadOnlyList<double> Band80);

/// <summary>How the saddle will lie on a day.</summary>
/// <param name="On">The day.</param>
/// <param name="ProbabilityFits">Probability that nothing is out of tolerance on it; null where tree and back cannot be compared.</param>
/// <param name="Findings">The findings.</param>
/// <param name="Back">Widths expected of the back.</param>
public sealed record OutlookDayAnswer(DateOnly On, double? ProbabilityFits, IReadOnlyList<FindingDocument> Findings, IReadOnlyList<ExpectedWidthAnswer> Back);

/// <summary>A way to cut the tree, judged by what only the tree can cure: its widths and angles.</summary>
/// <param name="Text">What to do.</param>
/// <param name="OpenMm">How far each side is opened, mm; negative closes it.</param>
/// <param name="ProbabilityFitsOnDelivery">Probability of being in tolerance on the day of delivery.</param>
/// <param name="LikelyUntil">First day from delivery on which that is no longer likely; null where it stays so for six months.</param>
/// <param name="ProbabilityFitsAtEnd">The same probability six months after delivery.</param>
public sealed record CutAnswer(string Text, double OpenMm, double ProbabilityFitsOnDelivery, DateOnly? LikelyUntil, double ProbabilityFitsAtEnd)
{
    public static CutAnswer? Of(CutOption? option) => option is { } cut
        ? new(cut.Text, cut.OpenMm, cut.ProbabilityFitsOnDelivery, cut.LikelyUntil, cut.ProbabilityFitsAtEnd)
        : null;
}

/// <summary>Why the back is to be measured again, and by when.</summary>
/// <param name="By">The latest day.</param>
/// <param name="Reasons">In words.</param>
public sealed record RemeasureAnswer(DateOnly By, IReadOnlyList<string> Reasons);

/// <summary>How old the template is.</summary>
/// <param name="MeasuredOn">Day of the measurement it was drawn from.</param>
/// <param name="Days">Days since.</param>
/// <param name="Age">How far it can still be trusted.</param>
public sealed record TemplateAgeAnswer(DateOnly MeasuredOn, int Days, TemplateAge Age);

/// <summary>Whether the saddle will fit on the day it comes home and after.</summary>
/// <param name="CommissionId">The commission.</param>
/// <param name="AsOf">The day known.</param>
/// <param name="Tree">Which tree was looked at: the one that was ordered, or the one that came, as measured since it was cut.</param>
/// <param name="TreeShapeId">The shape, where it is the one that came.</param>
/// <param name="Days">The day of delivery, three months and six months after.</param>
/// <param name="AsPlanned">The tree as it is.</param>
/// <param name="Best">The opening with which it fits longest; null where tree and back cannot be compared.</param>
/// <param name="Remeasure">Whether to measure the back again; null where that is not needed.</param>
/// <param name="Template">The template that was used last; null where there is none yet.</param>
/// <param name="Missing">Which measurements would bring what is unknown.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record OutlookAnswer(
    string CommissionId, DateOnly AsOf, OutlookTree Tree, string? TreeShapeId, IReadOnlyList<OutlookDayAnswer> Days, CutAnswer? AsPlanned, CutAnswer? Best,
    RemeasureAnswer? Remeasure, TemplateAgeAnswer? Template, IReadOnlyList<string> Missing, IReadOnlyList<string> Cautions);

/// <summary>Which tree was looked at.</summary>
public enum OutlookTree
{
    /// <summary>The one that was ordered.</summary>
    Ordered,

    /// <summary>The one that came, as measured.</summary>
    AsMeasured,
}

/// <summary>One difference between the tree that came and the tree that was ordered.</summary>
/// <param name="Measure">What was compared.</param>
/// <param name="FromFrontMm">Where, mm behind the tree's front edge.</param>
/// <param name="Station">Where, for a tree known by widths.</param>
/// <param name="Side">On which side; null where it is of both.</param>
/// <param name="Difference">Came less ordered, or left less right.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Verdict">What it asks for.</param>
/// <param name="Text">In words.</param>
public sealed record OrderDifferenceAnswer(OrderMeasure Measure, double? FromFrontMm, string? Station, Side? Side, double Difference, string Unit, OrderVerdict Verdict, string Text);

/// <summary>The tree that came against the tree that was ordered.</summary>
/// <param name="CommissionId">The commission.</param>
/// <param name="TreeShapeId">The shape that came; null where it was not measured yet.</param>
/// <param name="Verdict">On the whole tree; null where nothing could be compared.</param>
/// <param name="Differences">From front to rear.</param>
/// <param name="Missing">What would bring what could not be had.</param>
public sealed record TreeAgainstOrderAnswer(string CommissionId, string? TreeShapeId, OrderVerdict? Verdict, IReadOnlyList<OrderDifferenceAnswer> Differences, IReadOnlyList<string> Missing);

/// <summary>Looks ahead to the day a saddle comes home.</summary>
internal static class OutlookOfCommission
{
    public static async Task<IResult> AskAsync(string id, QueryDay? asOf, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return Json.Answer(await AnswerAsync(session, await CommissionEndpoints.RequireAsync(session, caller, id), asOf, clock, policy));
    }

    /// <summary>The outlook as known on a day.</summary>
    public static async Task<OutlookAnswer> AnswerAsync(ReadSession session, CommissionRow row, QueryDay? asOf, TimeProvider clock, CheckPolicy policy)
    {
        var known = await KnownHorse.LoadAsync(session, row.HorseId, asOf, clock, policy);
        var steps = await CommissionStore.StepsAsync(session, [row.Id]);
        var all = await CommissionFacts.LoadAsync(session, row, steps);
        // Asked for a day before it was ordered, it is what was ordered.
        var commission = all.AsOf(Engine.DayOrder.Later(known.AsOf, all.Steps[0].On));
        var outlook = DeliveryOutlook.Of(commission, known.Trends, known.Policy, known.AsOf);
        var days = outlook.Days();
        var measured = known.Trends.Facts.Sessions.Select(seen => (DateOnly?)seen.On).Max();
        return new OutlookAnswer(
            row.Id, known.AsOf, commission.Came is null ? OutlookTree.Ordered : OutlookTree.AsMeasured, commission.Came?.Id, [.. days.Select(DayOf)],
            CutAnswer.Of(outlook.AsPlanned()), CutAnswer.Of(outlook.Best()),
            Remeasure.Need(commission.Stage, measured, known.AsOf, commission.DeliveryOn, days[0].ProbabilityFits, known.Policy) is { } need ? new(need.By, need.Reasons) : null,
            AgeOf(steps.Where(step => Instants.ReadDay(step.OnDay) <= known.AsOf), known.AsOf), outlook.Missing, [.. Signs.OpenVetFirst(known.Trends.Facts, known.Policy).Count > 0 ? Cautions.VetFirst : [], .. Cautions.ForFit]);
    }

    public static async Task<IResult> AskComparedAsync(string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return Json.Answer(await CompareAsync(session, await CommissionEndpoints.RequireAsync(session, caller, id)));
    }

    /// <summary>The tree that came against the tree that was ordered.</summary>
    public static async Task<TreeAgainstOrderAnswer> CompareAsync(ReadSession session, CommissionRow row)
    {
        if ((await CommissionFacts.LoadAsync(session, row, await CommissionStore.StepsAsync(session, [row.Id]))).Came is not { } came)
            return new TreeAgainstOrderAnswer(row.Id, null, null, [], [$"The tree that came: measure it since it was cut, and record it (POST /v1/saddles/{row.SaddleId}/tree-shapes)."]);
        var differences = TreeAgainstOrder.Compare(CommissionFacts.Ordered(row), came, OrderLimits.Usual);
        return differences.Count == 0
            ? new TreeAgainstOrderAnswer(row.Id, came.Id, null, [], ["The tree that came and the one that was ordered are known in different ways: measure it in the way it was ordered."])
            : new TreeAgainstOrderAnswer(row.Id, came.Id, TreeAgainstOrder.Verdict(differences), [.. differences.Select(Of)], []);
    }

    private static OrderDifferenceAnswer Of(OrderDifference off) =>
        new(off.Measure, off.FromFrontMm, off.Station?.ToString(), off.Side, off.Difference, off.Unit, off.Verdict, TreeAgainstOrder.Say(off));

    private static OutlookDayAnswer DayOf(OutlookDay day) => new(
        day.On, day.ProbabilityFits, [.. day.Findings.Select(FindingDocument.Of)],
        [.. day.Back.Select(width => new ExpectedWidthAnswer(width.Metric.ToString(), width.MeanMm, [width.LowMm, width.HighMm]))]);

    private static TemplateAgeAnswer? AgeOf(IEnumerable<CommissionStepRow> steps, DateOnly on) =>
        Instants.ReadDayIfAny(steps.LastOrDefault(step => step.Stage == "template-sent")?.MeasuredOn) is { } measured
            ? new(measured, on.DayNumber - measured.DayNumber, Template.AgeOn(measured, on))
            : null;
}
