using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Checks;

/// <summary>Checks: the service opens them, people book, postpone, complete and drop them.</summary>
internal static class CheckEndpoints
{
    public static void MapChecks(this IEndpointRouteBuilder routes)
    {
        var checks = routes.MapGroup("/v1/checks").WithTags("Checks");
        checks.MapGet("/", ListAsync).Needs(Scope.Read).Lists<CheckAnswer>("List checks");
        checks.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<CheckAnswer>("Get a check");
        checks.MapGet("/{id}/history", HistoryAsync).Needs(Scope.Read).Computes<CheckHistoryAnswer>("Get the steps of a check's life");
        checks.MapPost("/{id}/book", BookAsync).Needs(CheckMoves.Needs(CheckMove.Book)).Moves<CheckAnswer>("Book a check");
        checks.MapPost("/{id}/unbook", UnbookAsync).Needs(CheckMoves.Needs(CheckMove.Unbook)).Moves<CheckAnswer>("Take a booking back: the visit falls through");
        checks.MapPost("/{id}/postpone", PostponeAsync).Needs(CheckMoves.Needs(CheckMove.Postpone)).Moves<CheckAnswer>("Put a check off");
        checks.MapPost("/{id}/complete", CompleteAsync).Needs(CheckMoves.Needs(CheckMove.Complete)).Moves<CheckAnswer>("Report a check as done");
        checks.MapPost("/{id}/drop", DropAsync).Needs(CheckMoves.Needs(CheckMove.Drop)).Moves<CheckAnswer>("Drop a check");
    }

    private static async Task<IResult> ListAsync(
        HttpContext http, Caller caller, Database database, string? yardId, string? horseId, string? fitterId, [WordsOf(typeof(CheckState))] string? state, QueryDay? dueBefore,
        CancellationToken cancel)
    {
        if (state is not null && !Words.TryParse<CheckState>(state, out _))
            throw new ProblemException(ProblemKind.BadQuery, $"state is one of: {string.Join(", ", Words.Of<CheckState>())}.");
        await using var session = await database.ReadAsync(cancel);
        var filter = new CheckFilter(
            yardId is null ? null : (await YardEndpoints.RequireAsync(session, caller, yardId)).Id,
            horseId is null ? null : (await HorseEndpoints.RequireAsync(session, caller, horseId)).Id,
            fitterId is null ? null : (await PersonEndpoints.RequireAsync(session, caller, fitterId)).Id,
            state, dueBefore is { } day ? Instants.WriteDay(day.Day) : null);
        return Paging.List(http, await CheckStore.ListAsync(session, caller.Sight, filter, Paging.Of(http)), CheckAnswer.Of);
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var check = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, CheckAnswer.Of(check), check.Version);
    }

    private static async Task<IResult> HistoryAsync(string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var check = await RequireAsync(session, caller, id);
        var steps = await CheckStore.StepsAsync(session, check.Id);
        return Json.Answer(new CheckHistoryAnswer(CheckAnswer.Of(check), [.. steps.Select(CheckStepAnswer.Of)]));
    }

    public static Task<IResult> BookAsync(HttpContext http, string id, BookRequest request, Caller caller, CheckLife life) =>
        life.ChangeAsync(http, id, request, caller, (session, check) => life.BookAsync(session, check, request, caller));

    public static Task<IResult> UnbookAsync(HttpContext http, string id, ReasonRequest request, Caller caller, CheckLife life) =>
        life.ChangeAsync(http, id, request, caller, (_, check) => Task.FromResult(CheckLife.Unbook(check, request)));

    public static Task<IResult> PostponeAsync(HttpContext http, string id, PostponeRequest request, Caller caller, CheckLife life) =>
        life.ChangeAsync(http, id, request, caller, (session, check) => life.PostponeAsync(session, check, request));

    public static Task<IResult> CompleteAsync(HttpContext http, string id, CompleteRequest request, Caller caller, CheckLife life) =>
        life.ChangeAsync(http, id, request, caller, (session, check) => life.CompleteAsync(session, check, request, caller));

    public static Task<IResult> DropAsync(HttpContext http, string id, ReasonRequest request, Caller caller, CheckLife life) =>
        life.ChangeAsync(http, id, request, caller, (session, check) => life.DropAsync(session, check, request));

    /// <summary>The check, where the caller may see it.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<CheckRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await CheckStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("check", id);
}
