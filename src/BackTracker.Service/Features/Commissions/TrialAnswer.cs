using BackTracker.Engine.Assessments;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>The saddler's written word that straps and bars bear load.</summary>
/// <param name="By">Who said so.</param>
/// <param name="On">On which day.</param>
/// <param name="Text">In their own words.</param>
public sealed record BearsLoadAnswer(string By, DateOnly On, string Text)
{
    public static BearsLoadAnswer? Of(TrialRow? row) => row is { BearsLoadBy: { } by } ? new(by, Instants.ReadDay(row.BearsLoadOn!), row.BearsLoadText!) : null;
}

/// <summary>What was found in one step of a trial.</summary>
/// <param name="Id">Id.</param>
/// <param name="Round">Which trial of the commission, from 1.</param>
/// <param name="Step">The step.</param>
/// <param name="On">Its day.</param>
/// <param name="PadMm">Thickness of the pad under the bare tree, pressed together, mm.</param>
/// <param name="Items">What was found of each item.</param>
/// <param name="BearsLoad">The saddler's written word, where it was given with this step.</param>
/// <param name="CreatedAt">When it was recorded.</param>
public sealed record TrialRecordAnswer(
    string Id, int Round, TrialStep Step, DateOnly On, double? PadMm, IReadOnlyList<TrialItemRequest> Items, BearsLoadAnswer? BearsLoad, string CreatedAt)
{
    public static TrialRecordAnswer Of(TrialRow row) => new(
        row.Id, row.Round, Words.Read<TrialStep>(row.Step), Instants.ReadDay(row.OnDay), row.PadMm, Json.Read<TrialItemRequest[]>(row.Items), BearsLoadAnswer.Of(row), row.CreatedAt);
}

/// <summary>A step of a trial and what keeps it from being begun.</summary>
/// <param name="Step">The step.</param>
/// <param name="Items">What is looked at in it.</param>
/// <param name="Hindrances">What keeps it from being begun; empty where it may be.</param>
public sealed record TrialStepAnswer(TrialStep Step, IReadOnlyList<TrialItemAnswer> Items, IReadOnlyList<string> Hindrances);

/// <summary>One thing to look at.</summary>
/// <param name="Item">How it is written.</param>
/// <param name="Text">What is to be so.</param>
/// <param name="IsLeft">Whether nobody has looked at it yet.</param>
public sealed record TrialItemAnswer(string Item, string Text, bool IsLeft);

/// <summary>Something to be altered or put right.</summary>
/// <param name="Item">The item.</param>
/// <param name="Verdict">Whether it is to be altered, or failed.</param>
/// <param name="Zone">In which third.</param>
/// <param name="Side">On which side; null for both, or where it is of neither.</param>
/// <param name="Mm">By how much, mm.</param>
/// <param name="Note">What was said of it.</param>
/// <param name="Text">What is to be so.</param>
/// <param name="Computed">What tree and back as measured say of the same place on that day.</param>
public sealed record WorkAnswer(
    string Item, ItemVerdict Verdict, Zone? Zone, Side? Side, double? Mm, string Note, string Text, IReadOnlyList<FindingDocument> Computed);

/// <summary>A trial of the bare tree as it stands.</summary>
/// <param name="CommissionId">The commission.</param>
/// <param name="Version">Version of the commission now; it stands in If-Match to move it on.</param>
/// <param name="Stage">Where the commission stands.</param>
/// <param name="Round">Which trial, from 1; 0 before the first.</param>
/// <param name="Verdict">How it stands.</param>
/// <param name="Reasons">Why.</param>
/// <param name="Left">Items nobody has looked at yet.</param>
/// <param name="WorkList">What failed, then what is to be altered, from front to rear and left before right.</param>
/// <param name="Disagreements">Where tree and back as measured contradict what was found.</param>
/// <param name="Steps">Every step, and what keeps it from being begun.</param>
/// <param name="BearsLoad">The saddler's written word; null where nobody has given it in this trial.</param>
/// <param name="Missing">Which measurements would let tree and back be compared.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record TrialAnswer(
    string CommissionId, long Version, CommissionStage Stage, int Round, TrialVerdict Verdict, IReadOnlyList<string> Reasons, IReadOnlyList<string> Left,
    IReadOnlyList<WorkAnswer> WorkList, IReadOnlyList<string> Disagreements, IReadOnlyList<TrialStepAnswer> Steps, BearsLoadAnswer? BearsLoad,
    IReadOnlyList<string> Missing, IReadOnlyList<string> Cautions);
