using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Repeatability;

/// <summary>How well people and methods measure, told from repeats.</summary>
internal static class RepeatabilityEndpoints
{
    public static void MapRepeatability(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/v1/people/{id}/repeatability", OfPersonAsync).WithTags("Repeatability").Needs(Scope.Read)
            .Computes<PersonRepeatabilityAnswer>("How well a person measures: scatter of repeats, least real change, agreement with others, and how many repeats would do");
        routes.MapGet("/v1/methods/{method}/repeatability", OfMethodAsync).WithTags("Repeatability").Needs(Scope.Read)
            .Computes<MethodRepeatabilityAnswer>("How well a method measures: scatter of repeats over everybody who uses it, and agreement with other methods");
    }

    private static async Task<IResult> OfPersonAsync(
        string id, QueryDay? asOf, string? metric, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var person = await PersonEndpoints.RequireAsync(session, caller, id);
        var isAsked = Asked(metric);
        var seen = await SeenSessions.OfPersonAsync(session, caller.Sight, person.Id, asOf, clock);
        var items = seen.Study.OfPerson(person.Id);
        var names = new SeenNames(session, caller);
        var others = new List<AgreementAnswer>();
        foreach (var found in seen.Study.OthersThan(person.Id).Where(found => isAsked(found.Metric)))
            others.Add(AgreementAnswer.Of(found, await names.OfAsync(found.Other)));
        return Results.Json(
            new PersonRepeatabilityAnswer(
                new(person.Id, person.Name), seen.AsOf, seen.Asked.Count, RepeatabilityWords.Short(person.Name, seen.Asked, items),
                [.. items.Where(item => isAsked(item.Metric)).Select(RepeatabilityAnswer.Of)], others,
                [.. StationMark.Of(seen.Asked).Select(StationMarkAnswer.Of)], RepeatabilityWords.Advice(items, others)),
            Json.Options);
    }

    private static async Task<IResult> OfMethodAsync(
        string method, QueryDay? asOf, string? metric, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        if (!Words.TryParse<MeasuringMethod>(method, out var known))
            throw new ProblemException(ProblemKind.NotFound, $"There is no method '{method}'. Methods are: {string.Join(", ", Words.Of<MeasuringMethod>())}.");
        await using var session = await database.ReadAsync(cancel);
        var isAsked = Asked(metric);
        var seen = await SeenSessions.OfMethodAsync(session, caller.Sight, known, asOf, clock);
        var items = seen.Study.OfMethod(known);
        AgreementAnswer[] others = [.. seen.Study.OthersThan(known).Where(found => isAsked(found.Metric)).Select(AgreementAnswer.Of)];
        var names = new SeenNames(session, caller);
        var answers = new List<RepeatabilityAnswer>();
        foreach (var item in items.Where(item => isAsked(item.Metric)))
            answers.Add(RepeatabilityAnswer.Of(item) with { People = await PeopleAsync(seen.Study.PeopleOf(known, item.Metric), names) });
        return Results.Json(
            new MethodRepeatabilityAnswer(
                known, seen.AsOf, seen.Asked.Count, RepeatabilityWords.Short(Engine.Words.Sentence(RepeatabilityWords.The(known)), seen.Asked, items), answers, others,
                RepeatabilityWords.Advice(items, others)),
            Json.Options);
    }

    private static async Task<IReadOnlyList<PersonErrorAnswer>> PeopleAsync(IReadOnlyDictionary<string, ErrorEstimate> people, SeenNames names)
    {
        var answers = new List<PersonErrorAnswer>();
        foreach (var (id, estimate) in people)
            answers.Add(new(await names.OfAsync(id), RepeatabilityAnswer.Round(estimate.Sd), RepeatabilityAnswer.Band(estimate)));
        return answers;
    }

    private static Func<Metric, bool> Asked(string? metric)
    {
        if (metric is null)
            return _ => true;
        var asked = TrendEndpoints.Parse(metric);
        return found => found == asked;
    }

    /// <summary>Names of those who measured, each looked up once.</summary>
    private sealed class SeenNames(ReadSession session, Caller caller)
    {
        private readonly Dictionary<string, NamedAnswer> known = [];

        public async Task<NamedAnswer> OfAsync(string id)
        {
            if (!known.TryGetValue(id, out var named))
                known.Add(id, named = new(id, (await PersonStore.FindAsync(session, caller.Sight, id))?.Name ?? "Somebody of another yard"));
            return named;
        }
    }
}
