using System.Text.Json;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>A step of a commission.</summary>
/// <param name="Stage">The stage it reached.</param>
/// <param name="On">Its day.</param>
/// <param name="Note">What was said of it.</param>
/// <param name="OverrideReason">Why a template that was too old was used all the same.</param>
/// <param name="MeasurementId">The measurement it rests on.</param>
/// <param name="MeasuredOn">Day of that measurement.</param>
/// <param name="At">When it was recorded.</param>
public sealed record CommissionStepAnswer(
    CommissionStage Stage, DateOnly On, string? Note, string? OverrideReason, string? MeasurementId, DateOnly? MeasuredOn, string At)
{
    public static CommissionStepAnswer Of(CommissionStepRow row) => new(
        Words.Read<CommissionStage>(row.Stage), Instants.ReadDay(row.OnDay), row.Note, row.OverrideReason, row.MeasurementId, Instants.ReadDayIfAny(row.MeasuredOn), row.CreatedAt);
}

/// <summary>What is due next.</summary>
/// <param name="Stage">The stage it leads to.</param>
/// <param name="Text">In words.</param>
/// <param name="DueOn">By when.</param>
public sealed record NextStepAnswer(CommissionStage Stage, string Text, DateOnly DueOn);

/// <summary>A saddle that is made to measure for a horse.</summary>
/// <param name="Id">Id.</param>
/// <param name="HorseId">The horse.</param>
/// <param name="SaddleId">The saddle that is being made.</param>
/// <param name="SaddlerId">Who makes it.</param>
/// <param name="OrderedOn">Day of the order.</param>
/// <param name="DeliveryOn">The day it is to come home.</param>
/// <param name="OrderedTree">The tree that was ordered, with its planned panel.</param>
/// <param name="TreeFrontFromT8Mm">Where the tree's front edge is to lie behind T8, mm.</param>
/// <param name="PadMm">Thickness of the pad that is to lie under it, mm.</param>
/// <param name="Note">Anything else.</param>
/// <param name="Stage">Where it stands.</param>
/// <param name="HeldBy">Who has it in hand, or whose turn it is.</param>
/// <param name="Next">What is due next; null after delivery, when ridden hours decide (see bedding-in), and where all is over.</param>
/// <param name="MayFollow">The stages that may follow.</param>
/// <param name="Warnings">What speaks against the template that was used last.</param>
/// <param name="History">Every step, the first one first.</param>
/// <param name="CreatedAt">When it was registered.</param>
public sealed record CommissionAnswer(
    string Id, string HorseId, string SaddleId, string SaddlerId, DateOnly OrderedOn, DateOnly DeliveryOn, TreeRequest OrderedTree, double? TreeFrontFromT8Mm,
    double? PadMm, string? Note, CommissionStage Stage, Holder HeldBy, NextStepAnswer? Next, IReadOnlyList<CommissionStage> MayFollow,
    IReadOnlyList<string> Warnings, IReadOnlyList<CommissionStepAnswer> History, string CreatedAt)
{
    /// <summary>A commission with its history.</summary>
    public static async Task<CommissionAnswer> OfAsync(ReadSession session, CommissionRow row) => Of(row, await CommissionStore.StepsAsync(session, [row.Id]));

    /// <summary>A commission with those of the steps that are its own.</summary>
    public static CommissionAnswer Of(CommissionRow row, IEnumerable<CommissionStepRow> steps)
    {
        List<CommissionStepRow> own = [.. steps.Where(step => step.CommissionId == row.Id)];
        var (stage, since) = (Words.Read<CommissionStage>(row.Stage), Instants.ReadDay(own[^1].OnDay));
        var next = Stages.Next(stage, since, Instants.ReadDayIfAny(own.LastOrDefault(step => step.MeasuredOn is not null)?.MeasuredOn), Instants.ReadDay(row.DeliveryOn));
        return new(
            row.Id, row.HorseId, row.SaddleId, row.SaddlerId, Instants.ReadDay(row.OrderedOn), Instants.ReadDay(row.DeliveryOn), Json.Read<TreeRequest>(row.OrderedTree),
            row.TreeFrontFromT8Mm, row.PadMm, row.Note, stage, Stages.HeldBy(stage), next is { } due ? new(due.Stage, due.Text, due.DueOn) : null,
            Stages.After(stage), WarningsOf(own[^1]), [.. own.Select(CommissionStepAnswer.Of)], row.CreatedAt);
    }

    private static string[] WarningsOf(CommissionStepRow last) => last.MeasuredOn is { } measured
        && Template.AgeOn(Instants.ReadDay(measured), Instants.ReadDay(last.OnDay)) != TemplateAge.Fresh
            ? [TemplateWords.Old(Instants.ReadDay(measured), Instants.ReadDay(last.OnDay))]
            : [];
}

/// <summary>The age of a template in words.</summary>
internal static class TemplateWords
{
    public static string Old(DateOnly measuredOn, DateOnly on) =>
        $"The template was measured on {Engine.Words.Day(measuredOn)}, {Engine.Words.Span(on.DayNumber - measuredOn.DayNumber)} before: backs in work differ after two months. Measure again if that can be done.";

    public static string Stale(DateOnly measuredOn, DateOnly on) =>
        $"The template was measured on {Engine.Words.Day(measuredOn)}, {Engine.Words.Span(on.DayNumber - measuredOn.DayNumber)} before: too old to work from. Measure again, or say in overrideReason why it is used all the same.";
}

/// <summary>A template as it was sent.</summary>
/// <param name="Id">Id.</param>
/// <param name="CommissionId">The commission.</param>
/// <param name="MeasurementId">The measurement it was drawn from.</param>
/// <param name="MeasuredOn">Day of that measurement.</param>
/// <param name="SentOn">Day it was sent.</param>
/// <param name="Measured">What had been measured, as it stood when it was sent; the note of whoever measured is left out.</param>
/// <param name="Checksum">SHA-256 of the text of it as stored, hexadecimal.</param>
/// <param name="CreatedAt">When it was recorded.</param>
public sealed record TemplateAnswer(
    string Id, string CommissionId, string MeasurementId, DateOnly MeasuredOn, DateOnly SentOn, JsonElement Measured, string Checksum, string CreatedAt)
{
    public static TemplateAnswer Of(TemplateRow row) => new(
        row.Id, row.CommissionId, row.MeasurementId, Instants.ReadDay(row.MeasuredOn), Instants.ReadDay(row.SentOn), Json.Read<JsonElement>(row.Body), row.Checksum, row.CreatedAt);
}
