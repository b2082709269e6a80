using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.People;
using BackTracker.Service.Http;
using BackTracker.Service.Paper;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Commissions;

/// <summary>Trials of the bare tree on the horse.</summary>
internal static class TrialEndpoints
{
    public static Task<IResult> RecordAsync(
        HttpContext http, string id, TrialRequest request, Caller caller, Writes writes, TimeProvider clock, CheckPolicy policy) => writes.RunAsync(http, request, async session =>
    {
        var row = await CommissionEndpoints.RequireAsync(session, caller, id);
        Conditional.MatchIfSent(http, row.Version);
        if (row.Round == 0 || row.Stage is not ("tree-trial" or "passed" or "finished"))
            throw new ProblemException(ProblemKind.Conflict, $"It is {row.Stage}: a trial is begun first (POST /v1/commissions/{row.Id}/stages with tree-trial).");
        if (row.Stage != "tree-trial" && request.Step != TrialStep.After)
            throw new ProblemException(ProblemKind.Conflict, $"The trial is {row.Stage}: only what is found afterwards can be added.");
        await CommissionLife.RefuseDayAsync(session, caller, row, await CommissionStore.StepsAsync(session, [row.Id]), request.On!.Value);
        var (trial, rows) = await KnownTrial.LoadAsync(session, row, policy);
        await RefuseHinderedAsync(session, row, request, trial, rows, policy);
        var found = await RowOfAsync(session, caller, row, request);
        await CommissionRecords.AddTrialAsync(session, found);
        await AuditStore.NoteAsync(session, "create", "commission-trial", found.Id);
        await MoveOnAsync(session, row, request);
        var after = (await CommissionStore.FindAsync(session, Sight.All, row.Id))!;
        return Answer.Created($"/v1/commissions/{row.Id}/trial", await AnswerAsync(session, after, clock, policy), after.Version);
    });

    public static async Task<IResult> GetAsync(string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return Json.Answer(await AnswerAsync(session, await CommissionEndpoints.RequireAsync(session, caller, id), clock, policy));
    }

    public static async Task<IResult> ListAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await CommissionEndpoints.RequireAsync(session, caller, id);
        return Paging.List(http, await CommissionRecords.ListTrialsAsync(session, row.Id, Paging.Of(http)), TrialRecordAnswer.Of);
    }

    public static async Task<IResult> PrintAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await CommissionEndpoints.RequireAsync(session, caller, id);
        var horse = await HorseEndpoints.RequireAsync(session, caller, row.HorseId);
        return PaperAnswer.Of(http, "trial-sheet", TrialSheetPaper.Print(horse.Name, row.SaddleLabel, await AnswerAsync(session, row, clock, policy)));
    }

    /// <summary>A fail that was found after the tree was passed opens the trial again; else the commission only has a new version.</summary>
    private static async Task MoveOnAsync(WriteSession session, CommissionRow row, TrialRequest request)
    {
        if (row.Stage != "tree-trial" && request.Items!.Any(item => item.Verdict == ItemVerdict.Fail))
            await CommissionLife.MoveAsync(session, row, new CommissionStepRow { Stage = "tree-trial", OnDay = Instants.WriteDay(request.On!.Value), Note = TrialCautions.Reopened });
        else if (!await CommissionStore.ChangeAsync(session, row))
            throw ProblemException.Overtaken();
    }

    private static async Task RefuseHinderedAsync(
        ReadSession session, CommissionRow row, TrialRequest request, Trial trial, IReadOnlyList<TrialRow> rows, CheckPolicy policy)
    {
        // What is felt afterwards is written down whatever else is known, and once more the next day.
        if (request.Step == TrialStep.After && rows.Any(found => found.Step == "after"))
            return;
        var vet = request.Step == TrialStep.After ? [] : await VetFirstSigns.OpenAsync(session, row.HorseId, policy);
        var hindrances = trial.Hindering(request.Step!.Value, BearingOf(rows, request), vet.Count > 0 ? VetFirst.SignOpen : VetFirst.NoSign);
        if (hindrances.Count > 0)
            throw new ProblemException(vet.Count > 0 ? ProblemKind.VetFirst : ProblemKind.Conflict, string.Join(' ', hindrances.Concat(vet)));
    }

    private static Bearing BearingOf(IEnumerable<TrialRow> rows, TrialRequest? request = null) =>
        request?.BearsLoad is not null || rows.Any(found => found.BearsLoadBy is not null) ? Bearing.Confirmed : Bearing.NotConfirmed;

    private static async Task<TrialRow> RowOfAsync(WriteSession session, Caller caller, CommissionRow row, TrialRequest request)
    {
        var word = request.BearsLoad;
        if (word?.On > request.On)
            throw ProblemException.Impossible("/bearsLoad/on", "The saddler's word was given after that step.");
        var by = word is null ? null : await NamedPerson.RequireAsync(session, caller, word.By ?? row.SaddlerId, "/bearsLoad/by");
        return new TrialRow
        {
            Id = session.NewId(),
            CommissionId = row.Id,
            Round = row.Round,
            Step = Words.Write(request.Step!.Value),
            OnDay = Instants.WriteDay(request.On!.Value),
            PadMm = request.PadMm,
            Items = Json.Write(request.Items),
            BearsLoadBy = by?.Id,
            BearsLoadOn = word is null ? null : Instants.WriteDay(word.On!.Value),
            BearsLoadText = word?.Text,
            CreatedAt = session.NowText,
        };
    }

    /// <summary>The latest trial as it stands.</summary>
    public static async Task<TrialAnswer> AnswerAsync(ReadSession session, CommissionRow row, TimeProvider clock, CheckPolicy policy)
    {
        var (trial, rows) = await KnownTrial.LoadAsync(session, row, policy);
        var fit = await FitAsync(session, row, rows, clock, policy);
        var opinion = new SecondOpinion(fit?.Findings ?? []);
        var seen = trial.Failed.Concat(trial.WorkList).ToList();
        var vet = (await VetFirstSigns.OpenAsync(session, row.HorseId, policy)).Count > 0;
        return new TrialAnswer(
            row.Id, row.Version, Words.Read<CommissionStage>(row.Stage), row.Round, trial.Verdict, trial.Reasons, [.. trial.Left.Select(item => item.Code)],
            [.. seen.Select(finding => WorkOf(finding, opinion))],
            [.. trial.Standing.Select(opinion.Disagreement).Where(text => text.Length > 0)],
            [.. Enum.GetValues<TrialStep>().Select(step => StepOf(trial, step, BearingOf(rows), vet ? VetFirst.SignOpen : VetFirst.NoSign))],
            BearsLoadAnswer.Of(rows.LastOrDefault(found => found.BearsLoadBy is not null)), fit?.Missing ?? [],
            [.. vet ? Cautions.VetFirst : [], .. trial.SorenessAfter.Count > 0 ? [TrialCautions.Reopened] : Array.Empty<string>(), .. TrialCautions.ForTrial]);
    }

    private static TrialStepAnswer StepOf(Trial trial, TrialStep step, Bearing bearing, VetFirst vet) => new(
        step, [.. TrialItems.Usual.Where(item => item.Step == step).Select(item => new TrialItemAnswer(item.Code, item.Text, trial.Left.Contains(item)))],
        trial.Hindering(step, bearing, vet));

    private static WorkAnswer WorkOf(ItemFinding finding, SecondOpinion opinion) => new(
        finding.Code, finding.Verdict, finding.Zone, finding.Side, finding.Mm, finding.Note, TrialItems.Usual.First(item => item.Code == finding.Code).Text,
        [.. opinion.Of(finding).Select(FindingDocument.Of)]);

    /// <summary>The bare tree over its pad on the back as it was known on the day of the trial.</summary>
    private static async Task<(IReadOnlyList<Finding> Findings, IReadOnlyList<string> Missing)?> FitAsync(
        ReadSession session, CommissionRow row, IReadOnlyList<TrialRow> rows, TimeProvider clock, CheckPolicy policy)
    {
        if (rows.Count == 0)
            return null;
        var day = Instants.ReadDay(rows[^1].OnDay);
        var known = await KnownHorse.LoadAsync(session, row.HorseId, new QueryDay(day), clock, policy);
        var came = (await CommissionFacts.LoadAsync(session, row, await CommissionStore.StepsAsync(session, [row.Id]))).AsOf(day).Came;
        var pad = rows.LastOrDefault(found => found.PadMm is not null)?.PadMm ?? 0;
        var laid = CommissionFacts.Laid(row, (came ?? CommissionFacts.Ordered(row)) with { From = day }, pad, 0) with { From = day };
        var fit = new PairingFit(laid, known.Trends, known.Policy, day, (day, day));
        return (fit.On(day), fit.Missing);
    }
}
