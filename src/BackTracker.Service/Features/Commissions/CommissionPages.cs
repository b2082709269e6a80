using System.Globalization;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

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
    /// <summary>The step to the next stage; null where the caller may not take one or none is left.</summary>
    public FormState? StageForm { get; init; }

    /// <summary>What is found in the step that is next in the trial; null where none is.</summary>
    public FormState? TrialForm { get; init; }

    /// <summary>The measurements to choose from, the latest first.</summary>
    public IReadOnlyList<(string Value, string Text)> Measurements { get; init; } = [];

    /// <summary>The templates that were sent.</summary>
    public IReadOnlyList<TemplateAnswer> Templates { get; init; } = [];

    /// <summary>The step of the trial that may be taken now; null where there is none.</summary>
    public TrialStepAnswer? Now => TrialCanGoOn ? Trial.Steps.FirstOrDefault(step => step.Hindrances.Count == 0 && step.Items.Any(item => item.IsLeft)) ?? Mounting : null;

    private bool TrialCanGoOn => Commission.Stage == CommissionStage.TreeTrial && Trial.Verdict == TrialVerdict.Open;

    // All that is wanting may be the saddler's word, which is given with that step.
    private TrialStepAnswer? Mounting => Trial.BearsLoad is null ? Trial.Steps.FirstOrDefault(step => step.Step == TrialStep.MountedStill && step.Hindrances.Count == 1) : null;
}

/// <summary>The page of a saddle made to measure, and the sheet on which a trial is written.</summary>
internal static class CommissionPages
{
    private const int MeasurementsOffered = 10;

    public static void MapCommissionPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/commissions/{id}", (HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy) =>
            ShowAsync<CommissionPage>(http, id, caller, database, clock, policy)).Needs(Scope.Read);
        routes.MapPage("/commissions/{id}/trial-sheet", (HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy) =>
            ShowAsync<TrialSheetPage>(http, id, caller, database, clock, policy)).Needs(Scope.Read);
        routes.MapPage("/commissions/{id}/trial-sheet.pdf", TrialEndpoints.PrintAsync).Needs(Scope.Read);
        routes.MapForm("/commissions/{id}/stages", StageAsync).Needs(Scope.Manage, Scope.Fit);
        routes.MapForm("/commissions/{id}/trials", TryAsync).Needs(Scope.Fit);
    }

    private static async Task<IResult> ShowAsync<TPage>(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy)
        where TPage : Microsoft.AspNetCore.Components.IComponent =>
        PageRoutes.Show<TPage>(http, await LoadAsync(http, id, caller, database, clock, policy));

    private static async Task<IResult> StageAsync(HttpContext http, string id, Caller caller, CommissionLife life, Database database, TimeProvider clock, CheckPolicy policy)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => life.StepAsync(http, id, form.Read<StageRequest>(), caller), $"/commissions/{id}",
            async again => PageRoutes.Show<CommissionPage>(
                http, (await LoadAsync(http, id, caller, database, clock, policy)) with { StageForm = again with { Mark = "stage" } }, StatusCodes.Status422UnprocessableEntity));
    }

    private static async Task<IResult> TryAsync(HttpContext http, string id, Caller caller, Writes writes, Database database, TimeProvider clock, CheckPolicy policy)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => TrialEndpoints.RecordAsync(http, id, form.Read<TrialRequest>(), caller, writes, clock, policy), $"/commissions/{id}",
            async again => PageRoutes.Show<CommissionPage>(
                http, (await LoadAsync(http, id, caller, database, clock, policy)) with { TrialForm = again with { Mark = "trial" } }, StatusCodes.Status422UnprocessableEntity));
    }

    private static async Task<CommissionModel> LoadAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var row = await CommissionEndpoints.RequireAsync(session, caller, id);
        var horse = await HorseEndpoints.RequireAsync(session, caller, row.HorseId);
        var yard = await YardEndpoints.RequireAsync(session, caller, row.YardId);
        var commission = await CommissionAnswer.OfAsync(session, row);
        var today = Instants.WriteDay(HorseDays.Today(horse, clock.GetUtcNow()));
        var measured = (await MeasurementStore.LiveOfHorseAsync(session, horse.Id)).Reverse().Take(MeasurementsOffered);
        return new CommissionModel(
            new(yard.Id, yard.Name), new(horse.Id, horse.Name), row.SaddleLabel, commission, Conditional.Etag(row.Version),
            Stages.IsBeforeDelivery(commission.Stage) ? await OutlookOfCommission.AnswerAsync(session, row, null, clock, policy) : null,
            await TrialEndpoints.AnswerAsync(session, row, clock, policy))
        {
            StageForm = commission.MayFollow.Count > 0 && (caller.May(Scope.Manage) || caller.May(Scope.Fit)) ? FormState.New(clock, ("/on", today)) with { Mark = "stage" } : null,
            TrialForm = caller.May(Scope.Fit) ? FormState.New(clock, ("/on", today), ("/bearsLoad/on", today)) with { Mark = "trial" } : null,
            Templates = [.. (await CommissionRecords.ListTemplatesAsync(session, row.Id, Paging.First)).Items.Select(TemplateAnswer.Of)],
            Measurements = [("", "None"), .. measured.Select(session => (session.Id, string.Create(CultureInfo.InvariantCulture, $"{Instants.ReadDay(session.MeasuredOn):d MMM yyyy}")))],
        };
    }
}
