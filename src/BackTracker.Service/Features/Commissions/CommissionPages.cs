using System.Globalization;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.Components;

namespace BackTracker.Service.Features.Commissions;

/// <summary>A saddle made to measure, as its page shows it.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="Horse">The horse.</param>
/// <param name="Saddle">What the yard calls the saddle.</param>
/// <param name="Commission">The commission.</param>
/// <param name="Version">Its version.</param>
/// <param name="Outlook">Whether it will fit; null once it is at home.</param>
/// <param name="Trial">The latest trial.</param>
public sealed record CommissionModel(
    Named Yard, Named Horse, string Saddle, CommissionAnswer Commission, string Version, OutlookAnswer? Outlook, TrialAnswer Trial)
{
    /// <summary>The tree that came against the order; null before it is cut and once it is at home.</summary>
    public TreeAgainstOrderAnswer? Came { get; init; }

    /// <summary>How it beds in; null before delivery.</summary>
    public BeddingInAnswer? Bedding { get; init; }

    /// <summary>The step to the next stage; null where the caller may not take one or none is left.</summary>
    public FormState? StageForm { get; init; }

    /// <summary>What is found in a step of the trial; null where the caller may not say.</summary>
    public FormState? TrialForm { get; init; }

    /// <summary>The tree as it was measured; null where the caller may not say, or it is not the time.</summary>
    public FormState? TreeForm { get; init; }

    /// <summary>A look at the room over the spine; null where the caller may not say, or it is not the time.</summary>
    public FormState? BeddingForm { get; init; }

    /// <summary>The measurements to choose from, the latest first.</summary>
    public IReadOnlyList<(string Value, string Text)> Measurements { get; init; } = [];

    /// <summary>The templates that were sent.</summary>
    public IReadOnlyList<TemplateAnswer> Templates { get; init; } = [];

    /// <summary>The step of the trial that may be taken now: of an open one the next, of a passed one what is found afterwards; null where there is none.</summary>
    public TrialStepAnswer? Now =>
        IsPassed ? Trial.Steps.First(step => step.Step == TrialStep.After)
        : TrialCanGoOn ? Trial.Steps.FirstOrDefault(step => step.Hindrances.Count == 0 && step.Items.Any(item => item.IsLeft)) ?? Mounting
        : null;

    /// <summary>Whether nothing is left of the trial but what may still be found afterwards.</summary>
    public bool IsPassed => Commission.Stage is CommissionStage.Passed or CommissionStage.Finished || (Commission.Stage == CommissionStage.TreeTrial && Trial.Verdict == TrialVerdict.Pass);

    private bool TrialCanGoOn => Commission.Stage == CommissionStage.TreeTrial && Trial.Verdict == TrialVerdict.Open;

    // All that is wanting may be the saddler's word, which is given with that step.
    private TrialStepAnswer? Mounting => Trial.BearsLoad is null ? Trial.Steps.FirstOrDefault(step => step.Step == TrialStep.MountedStill && step.Hindrances.Count == 1) : null;
}

/// <summary>The page of a saddle made to measure, and the sheet on which a trial is written.</summary>
internal sealed class CommissionPages(Database database, TimeProvider clock, CheckPolicy policy)
{
    private const int MeasurementsOffered = 10;
    private const string Stage = "stage";
    private const string Trial = "trial";
    private const string Tree = "tree";
    private const string Bedding = "bedding";

    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapPage("/commissions/{id}", (HttpContext http, string id, Caller caller, CommissionPages pages) => pages.ShowAsync<CommissionPage>(http, id, caller)).Needs(Scope.Read);
        routes.MapPage("/commissions/{id}/trial-sheet", (HttpContext http, string id, Caller caller, CommissionPages pages) => pages.ShowAsync<TrialSheetPage>(http, id, caller)).Needs(Scope.Read);
        routes.MapPage("/commissions/{id}/trial-sheet.pdf", TrialEndpoints.PrintAsync).Needs(Scope.Read);
        routes.MapForm("/commissions/{id}/stages", (HttpContext http, string id, Caller caller, CommissionLife life, CommissionPages pages) => pages.TakeAsync(
            http, id, caller, form => life.StepAsync(http, id, form.Read<StageRequest>(), caller), (model, again) => model with { StageForm = again with { Mark = Stage } })).Needs(Scope.Manage, Scope.Fit);
        routes.MapForm("/commissions/{id}/trials", (HttpContext http, string id, Caller caller, Writes writes, CommissionPages pages) => pages.TakeAsync(
            http, id, caller, form => pages.TryAsync(http, id, form, caller, writes), (model, again) => model with { TrialForm = again with { Mark = Trial } })).Needs(Scope.Fit);
        routes.MapForm("/commissions/{id}/tree", (HttpContext http, string id, Caller caller, Writes writes, CommissionPages pages) => pages.TakeAsync(
            http, id, caller, form => pages.MeasureTreeAsync(http, id, form, caller, writes), (model, again) => model with { TreeForm = again with { Mark = Tree } })).Needs(Scope.Fit);
        routes.MapForm("/commissions/{id}/bedding-in", (HttpContext http, string id, Caller caller, Writes writes, CommissionPages pages) => pages.TakeAsync(
            http, id, caller, form => BeddingInEndpoints.RecordAsync(http, id, form.Read<ClearanceRequest>(), caller, writes), (model, again) => model with { BeddingForm = again with { Mark = Bedding } })).Needs(Scope.Fit);
    }

    private async Task<IResult> ShowAsync<TPage>(HttpContext http, string id, Caller caller) where TPage : IComponent =>
        PageRoutes.Show<TPage>(http, await LoadAsync(http, id, caller));

    private async Task<IResult> TakeAsync(HttpContext http, string id, Caller caller, Func<FormJson, Task<IResult>> handle, Func<CommissionModel, FormState, CommissionModel> with)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => handle(form), $"/commissions/{id}",
            async again => PageRoutes.Show<CommissionPage>(http, with(await LoadAsync(http, id, caller), again), StatusCodes.Status422UnprocessableEntity));
    }

    private Task<IResult> TryAsync(HttpContext http, string id, FormJson form, Caller caller, Writes writes) =>
        TrialEndpoints.RecordAsync(http, id, form.Read<TrialRequest>(), caller, writes, clock, policy);

    private async Task<IResult> MeasureTreeAsync(HttpContext http, string id, FormJson form, Caller caller, Writes writes)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var saddle = (await CommissionEndpoints.RequireAsync(session, caller, id)).SaddleId;
        return await TreeShapeEndpoints.RecordAsync(http, saddle, form.Read<TreeShapeRequest>(), caller, writes);
    }

    private async Task<CommissionModel> LoadAsync(HttpContext http, string id, Caller caller)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var row = await CommissionEndpoints.RequireAsync(session, caller, id);
        var horse = await HorseEndpoints.RequireAsync(session, caller, row.HorseId);
        var yard = await YardEndpoints.RequireAsync(session, caller, row.YardId);
        var commission = await CommissionAnswer.OfAsync(session, row);
        var today = Instants.WriteDay(HorseDays.Today(horse, clock.GetUtcNow()));
        var isBeingMade = Stages.IsBeforeDelivery(commission.Stage);
        var model = new CommissionModel(
            new(yard.Id, yard.Name), new(horse.Id, horse.Name), row.SaddleLabel, commission, Conditional.Etag(row.Version),
            isBeingMade ? await OutlookOfCommission.AnswerAsync(session, row, null, clock, policy) : null, await TrialEndpoints.AnswerAsync(session, row, clock, policy))
        {
            Came = isBeingMade && commission.Stage >= CommissionStage.TreeCut ? await OutlookOfCommission.CompareAsync(session, row) : null,
            Bedding = commission.Stage is CommissionStage.Delivered or CommissionStage.BeddingIn or CommissionStage.Settled ? await BeddingInEndpoints.AnswerAsync(session, row, today) : null,
            Templates = [.. (await CommissionRecords.ListTemplatesAsync(session, row.Id, Paging.First)).Items.Select(TemplateAnswer.Of)],
            Measurements = await MeasurementsAsync(session, horse.Id),
        };
        return WithForms(model, caller, today);
    }

    private CommissionModel WithForms(CommissionModel model, Caller caller, string today)
    {
        FormState New(string mark, params (string, string)[] values) => FormState.New(clock, values) with { Mark = mark };
        var fits = caller.May(Scope.Fit);
        return model with
        {
            StageForm = model.Commission.MayFollow.Count > 0 && (caller.May(Scope.Manage) || fits) ? New(Stage, ("/on", today)) : null,
            TrialForm = fits ? New(Trial, ("/on", today), ("/bearsLoad/on", today)) : null,
            TreeForm = fits && model.Came is not null ? New(Tree, ("/from", today)) : null,
            BeddingForm = fits && model.Commission.Stage is (CommissionStage.Delivered or CommissionStage.BeddingIn) ? New(Bedding, ("/on", today)) : null,
        };
    }

    private static async Task<IReadOnlyList<(string Value, string Text)>> MeasurementsAsync(ReadSession session, string horseId) =>
    [
        ("", "None"),
        .. (await MeasurementStore.LiveOfHorseAsync(session, horseId)).Reverse().Take(MeasurementsOffered)
            .Select(measured => (measured.Id, string.Create(CultureInfo.InvariantCulture, $"{Instants.ReadDay(measured.MeasuredOn):d MMM yyyy}"))),
    ];
}
