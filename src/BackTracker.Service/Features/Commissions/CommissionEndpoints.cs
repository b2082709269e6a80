using BackTracker.Engine.Assessments;
using BackTracker.Engine.Commissions;
using BackTracker.Service.Features.Audit;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.Commissions;

/// <summary>Saddles made to measure: from the first trace to the finished saddle, bedded in.</summary>
internal static class CommissionEndpoints
{
    public static void MapCommissions(this IEndpointRouteBuilder routes)
    {
        var all = routes.MapGroup("/v1/commissions").WithTags("Commissions");
        all.MapPost("/", OrderAsync).Needs(Scope.Manage).Creates<CommissionAnswer>("Order a saddle made to measure");
        all.MapGet("/", ListAsync).Needs(Scope.Read).Lists<CommissionAnswer>("List commissions");
        all.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<CommissionAnswer>("Get a commission with its history");
        all.MapPut("/{id}", ChangeAsync).Needs(Scope.Manage).Changes<CommissionAnswer>("Change what was ordered");
        all.MapPost("/{id}/stages", StageAsync).Needs(Scope.Manage, Scope.Fit).Moves<CommissionAnswer>("Record that a commission has reached its next stage").Refuses(ProblemKind.VetFirst);
        all.MapGet("/{id}/templates", ListTemplatesAsync).Needs(Scope.Read).Lists<TemplateAnswer>("List the templates as they were sent");
        all.MapGet("/{id}/templates/{templateId}", GetTemplateAsync).Needs(Scope.Read).Computes<TemplateAnswer>("Get a template as it was sent");
        all.MapGet("/{id}/outlook", OutlookOfCommission.AskAsync).Needs(Scope.Read).Computes<OutlookAnswer>("Whether the saddle will fit on the day it comes home and after, and what to cut");
        all.MapGet("/{id}/tree-against-order", OutlookOfCommission.AskComparedAsync).Needs(Scope.Read).Computes<TreeAgainstOrderAnswer>("The tree that came against the tree that was ordered");
        all.MapPost("/{id}/trials", TrialEndpoints.RecordAsync).Needs(Scope.Fit).Creates<TrialAnswer>("Record what was found in a step of a trial").Refuses(ProblemKind.Stale);
        all.MapGet("/{id}/trials", TrialEndpoints.ListAsync).Needs(Scope.Read).Lists<TrialRecordAnswer>("List what was found in all trials");
        all.MapGet("/{id}/trial", TrialEndpoints.GetAsync).Needs(Scope.Read).Computes<TrialAnswer>("The latest trial as it stands, with the work list for the saddler");
        all.MapGet("/{id}/trial-sheet.pdf", TrialEndpoints.PrintAsync).Needs(Scope.Read).Prints("The sheet on which a trial is written in the yard");
        all.MapPost("/{id}/bedding-in", BeddingInEndpoints.RecordAsync).Needs(Scope.Fit).Creates<BeddingInAnswer>("Record the room over the spine of the delivered saddle").Refuses(ProblemKind.Stale);
        all.MapGet("/{id}/bedding-in", BeddingInEndpoints.GetAsync).Needs(Scope.Read).Computes<BeddingInAnswer>("When the delivered saddle is looked at, and how its panel packs down");
    }

    public static Task<IResult> StageAsync(HttpContext http, string id, StageRequest request, Caller caller, CommissionLife life) => life.StepAsync(http, id, request, caller);

    /// <summary>The commission, where the caller may see its horse.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<CommissionRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await CommissionStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("commission", id);

    public static Task<IResult> OrderAsync(HttpContext http, CommissionRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var horse = await HorseEndpoints.RequireAsync(session, caller, request.HorseId!);
        var saddle = await SaddleEndpoints.RequireAsync(session, caller, request.SaddleId!);
        if (horse.YardId != saddle.YardId)
            throw ProblemException.Impossible("/saddleId", "The horse and the saddle are in different yards. Register the saddle in the horse's yard.");
        if (saddle.Tree == Words.Write(TreeKind.Treeless))
            throw ProblemException.Impossible("/saddleId", "The saddle has no tree, so none can be made to measure. Change the saddle first if that is wrong.");
        var saddler = await SaddlerAsync(session, caller, request);
        if (await CommissionStore.OfSaddleAsync(session, saddle.Id) is { } other)
            throw new ProblemException(ProblemKind.Conflict, $"This saddle is being made already, under the commission {other.Id}. Change that one, or register another saddle.");
        HorseDays.RefuseFuture(horse, request.OrderedOn!.Value, session.Now, "/orderedOn");
        HorseDays.RefuseFarFuture(horse, request.DeliveryOn!.Value, session.Now, "/deliveryOn");
        var row = request.Onto(new CommissionRow { Id = session.NewId(), HorseId = horse.Id, SaddleId = saddle.Id, Stage = "ordered", CreatedAt = session.NowText }, saddler);
        await CommissionStore.AddAsync(session, row);
        await CommissionStore.AddStepAsync(session, new CommissionStepRow { Id = session.NewId(), CommissionId = row.Id, Stage = row.Stage, OnDay = row.OrderedOn, CreatedAt = session.NowText });
        await WorkQueueStore.AddHorseAsync(session, horse.Id);
        await AuditStore.NoteAsync(session, "create", "commission", row.Id);
        return Answer.Created($"/v1/commissions/{row.Id}", await CommissionAnswer.OfAsync(session, row), 1);
    });

    private static async Task<IResult> ListAsync(
        HttpContext http, Caller caller, Database database, string? yardId, string? horseId, [WordsOf(typeof(CommissionStage))] string? stage, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var filter = new CommissionFilter(
            yardId is null ? null : (await YardEndpoints.RequireAsync(session, caller, yardId)).Id,
            horseId is null ? null : (await HorseEndpoints.RequireAsync(session, caller, horseId)).Id,
            QueryWord.Check<CommissionStage>(nameof(stage), stage));
        var found = await CommissionStore.ListAsync(session, caller.Sight, filter, Paging.Of(http));
        var steps = await CommissionStore.StepsAsync(session, [.. found.Items.Select(row => row.Id)]);
        return Paging.List(http, found, row => CommissionAnswer.Of(row, steps));
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, await CommissionAnswer.OfAsync(session, row), row.Version);
    }

    private static Task<IResult> ChangeAsync(HttpContext http, string id, CommissionRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var before = await RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, before.Version);
        if (!Stages.IsBeforeDelivery(Words.Read<CommissionStage>(before.Stage)))
            throw new ProblemException(ProblemKind.Conflict, $"It is {before.Stage}: what was ordered is not changed any more.");
        if (Ids.Canonical(request.HorseId) != before.HorseId)
            throw ProblemException.Impossible("/horseId", "A commission keeps its horse. Refuse this one and order another.");
        if (Ids.Canonical(request.SaddleId) != before.SaddleId)
            throw ProblemException.Impossible("/saddleId", "A commission keeps its saddle. Refuse this one and order another.");
        var horse = await HorseEndpoints.RequireAsync(session, caller, before.HorseId);
        HorseDays.RefuseFuture(horse, request.OrderedOn!.Value, session.Now, "/orderedOn");
        HorseDays.RefuseFarFuture(horse, request.DeliveryOn!.Value, session.Now, "/deliveryOn");
        var after = request.Onto(before, await SaddlerAsync(session, caller, request));
        if (!await CommissionStore.ChangeAsync(session, after))
            throw ProblemException.Overtaken();
        await WorkQueueStore.AddHorseAsync(session, before.HorseId);
        var steps = await CommissionStore.StepsAsync(session, [before.Id]);
        await AuditStore.NoteChangeAsync(session, "commission", before.Id, AuditChanges.Between(CommissionAnswer.Of(before, steps), CommissionAnswer.Of(after, steps)));
        return Answer.Ok(CommissionAnswer.Of(after, steps), after.Version + 1);
    });

    private static async Task<string> SaddlerAsync(ReadSession session, Caller caller, CommissionRequest request)
    {
        var person = await NamedPerson.RequireAsync(session, caller, request.SaddlerId!, "/saddlerId");
        return person.Role == Words.Write(PersonRole.Saddler)
            ? person.Id
            : throw ProblemException.Impossible("/saddlerId", $"{person.Name} is a {person.Role}. Name a person with the role saddler, or change theirs.");
    }

    private static async Task<IResult> ListTemplatesAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await RequireAsync(session, caller, id);
        return Paging.List(http, await CommissionRecords.ListTemplatesAsync(session, row.Id, Paging.Of(http)), TemplateAnswer.Of);
    }

    private static async Task<IResult> GetTemplateAsync(string id, string templateId, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await RequireAsync(session, caller, id);
        return Json.Answer(TemplateAnswer.Of(
            await CommissionRecords.FindTemplateAsync(session, row.Id, Ids.Canonical(templateId) ?? "") ?? throw ProblemException.NotFound("template", templateId)));
    }
}
