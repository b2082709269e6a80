using BackTracker.Service.Features.Audit;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;

namespace BackTracker.Service.Features.People;

/// <summary>People: who manages, fits, makes, rides and treats.</summary>
internal static class PersonEndpoints
{
    public static void MapPeople(this IEndpointRouteBuilder routes)
    {
        var people = routes.MapGroup("/v1/people").WithTags("People");
        people.MapPost("/", RegisterAsync).Needs(Scope.Manage).Creates<PersonAnswer>("Register a person");
        people.MapGet("/", ListAsync).Needs(Scope.Read).Lists<PersonAnswer>("List people");
        people.MapGet("/{id}", GetAsync).Needs(Scope.Read).Gets<PersonAnswer>("Get a person");
        people.MapPost("/{id}/erase", PersonErasure.EraseAsync).Needs(Scope.Admin).Does<ErasureAnswer>("Take out what is known of a person and leave a pseudonym; records keep their sense");
        people.MapPut("/{id}", ChangeAsync).Needs(Scope.Manage).Changes<PersonAnswer>("Change a person");
    }

    private static Task<IResult> RegisterAsync(HttpContext http, PersonRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var blank = new PersonRow { Id = session.NewId(), Version = 1, CreatedAt = session.NowText };
        var person = request.ToRow(blank, await YardsAsync(session, caller, request));
        await PersonStore.AddAsync(session, person);
        await AssessAsync(session, person.YardIds);
        await AuditStore.NoteAsync(session, "create", "person", person.Id);
        return Answer.Created($"/v1/people/{person.Id}", PersonAnswer.Of(person, caller.Sight), person.Version);
    });

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, CancellationToken cancel, string? yardId = null, [WordsOf(typeof(PersonRole))] string? role = null)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = yardId is null ? null : await YardEndpoints.RequireAsync(session, caller, yardId);
        var people = await PersonStore.ListAsync(session, caller.Sight, yard?.Id, QueryWord.Check<PersonRole>(nameof(role), role), Paging.Of(http));
        return Paging.List(http, people, p => PersonAnswer.Of(p, caller.Sight));
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var person = await RequireAsync(session, caller, id);
        return Conditional.Ok(http, PersonAnswer.Of(person, caller.Sight), person.Version);
    }

    private static Task<IResult> ChangeAsync(HttpContext http, string id, PersonRequest request, Caller caller, Writes writes) => writes.RunAsync(http, request, async session =>
    {
        var before = await RequireAsync(session, caller, id);
        Conditional.RequireMatch(http, before.Version);
        if (before.ErasedAt is not null)
            throw new ProblemException(ProblemKind.Conflict, $"{before.Name} was erased. Register the person anew if they are to be named again.");
        var unseen = before.YardIds.Where(y => !caller.Sight.Covers(y)).ToList();
        var after = request.ToRow(before, unseen.Concat(await YardsAsync(session, caller, request)));
        if (unseen.Count > 0 && after with { Yards = before.Yards } != before)
            throw new ProblemException(ProblemKind.Conflict, "This person works in yards that this key does not reach as well. It may add and take away its own yards; name, role and the rest are changed with a key of all of them.");
        if (!await PersonStore.ChangeAsync(session, after))
            throw ProblemException.Overtaken();
        await AssessAsync(session, before.YardIds.Union(after.YardIds));
        await AuditStore.NoteChangeAsync(session, "person", before.Id, AuditChanges.Between(PersonAnswer.Of(before, Sight.All), PersonAnswer.Of(after, Sight.All)));
        return Answer.Ok(PersonAnswer.Of(after, caller.Sight), after.Version + 1);
    });

    /// <summary>The person, where the caller sees one of their yards.</summary>
    /// <exception cref="ProblemException">There is none such, or they belong to others.</exception>
    public static async Task<PersonRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await PersonStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("person", id);

    private static async Task<IReadOnlyList<string>> YardsAsync(ReadSession session, Caller caller, PersonRequest request)
    {
        var ids = new List<string>();
        foreach (var yardId in request.YardIds!)
            ids.Add((await YardEndpoints.RequireAsync(session, caller, yardId)).Id);
        return ids;
    }

    // How far ahead somebody must be booked moves the days of every check in their yards.
    private static async Task AssessAsync(WriteSession session, IEnumerable<string> yardIds)
    {
        foreach (var yardId in yardIds)
            await WorkQueueStore.AddHorsesOfYardAsync(session, yardId);
    }
}
