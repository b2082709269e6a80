using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Pictures;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Repeatability;

/// <summary>How well people and methods measure, told from repeats.</summary>
internal static class RepeatabilityEndpoints
{
    public static void MapRepeatability(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/v1/people/{id}/repeatability", OfPersonAsync).WithTags("Repeatability").Needs(Scope.Read)
            .Computes<PersonRepeatabilityAnswer>("How well a person measures: scatter of repeats, least real change, agreement with others, and how many repeats would do");
        routes.MapGet("/v1/people/{id}/repeatability.svg", DrawAsync).WithTags("Repeatability").Needs(Scope.Read)
            .Draws("Picture of differences against means: of a person's repeats, or of a person and another; width is in px");
        routes.MapGet("/v1/methods/{method}/repeatability", OfMethodAsync).WithTags("Repeatability").Needs(Scope.Read)
            .Computes<MethodRepeatabilityAnswer>("How well a method measures: scatter of repeats over everybody who uses it, and agreement with other methods");
    }

    private static async Task<IResult> OfPersonAsync(
        string id, QueryDay? asOf, string? metric, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var isAsked = Asked(metric);
        return Results.Json((await PersonRepeats.LoadAsync(session, caller, id, asOf, clock)).Answer(isAsked), Json.Options);
    }

    private static async Task<IResult> DrawAsync(
        string id, QueryDay? asOf, string? metric, string? otherId, int? width, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        Metric? asked = metric is null ? null : TrendEndpoints.Parse(metric);
        var known = await PersonRepeats.LoadAsync(session, caller, id, asOf, clock);
        var drawing = otherId is null ? known.Repeated(asked) : known.Against((await PersonEndpoints.RequireAsync(session, caller, otherId)).Id, asked);
        return drawing is null
            ? throw new ProblemException(ProblemKind.Impossible, $"There are not two pairs to draw{(asked is null ? "" : $" of {asked}")}: measure the same twice in a session, or let another person measure the same horses within a week.")
            : PictureAnswer.Of(AgreementPicture.Draw(drawing, PictureAnswer.Frame(width)));
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
}
