using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.People;
using BackTracker.Service.Http;
using BackTracker.Service.Pictures;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Repeatability;

/// <summary>How well a person measures, for the answer, the picture and the page.</summary>
/// <param name="Person">The person.</param>
/// <param name="Seen">The sessions it rests on.</param>
/// <param name="Items">Every metric they measured.</param>
/// <param name="Others">How they agree with others, who are named.</param>
internal sealed record PersonRepeats(
    PersonRow Person, SeenSessions Seen, IReadOnlyList<MetricRepeatability> Items, IReadOnlyList<(AgreementWith<string> Found, NamedAnswer Other)> Others)
{
    public static async Task<PersonRepeats> LoadAsync(ReadSession session, Caller caller, string personId, QueryDay? asOf, TimeProvider clock)
    {
        var person = await PersonEndpoints.RequireAsync(session, caller, personId);
        var seen = await SeenSessions.OfPersonAsync(session, caller.Sight, person.Id, asOf, clock);
        var names = new SeenNames(session, caller);
        var others = new List<(AgreementWith<string>, NamedAnswer)>();
        foreach (var found in seen.Study.OthersThan(person.Id))
            others.Add((found, await names.OfAsync(found.Other)));
        return new(person, seen, seen.Study.OfPerson(person.Id), others);
    }

    public PersonRepeatabilityAnswer Answer(Func<Metric, bool> isAsked)
    {
        AgreementAnswer[] others = [.. Others.Where(other => isAsked(other.Found.Metric)).Select(other => AgreementAnswer.Of(other.Found, other.Other))];
        return new(
            new(Person.Id, Person.Name), Seen.AsOf, Seen.Asked.Count, RepeatabilityWords.Short(Person.Name, Seen.Asked, Items),
            [.. Items.Where(item => isAsked(item.Metric)).Select(RepeatabilityAnswer.Of)], others,
            [.. StationMark.Of(Seen.Asked).Select(StationMarkAnswer.Of)], RepeatabilityWords.Advice(Items, others));
    }

    /// <summary>Their repeats against each other: of the metric asked for, else of the one repeated most; null where too little was repeated.</summary>
    public AgreementDrawing? Repeated(Metric? asked)
    {
        var most = Items.Where(item => asked is null || item.Metric == asked)
            .Select(item => (item.Metric, item.Method, Pairs: Seen.Study.RepeatsOf(Person.Id, item.Method, item.Metric)))
            .Where(item => item.Pairs.Count > 1)
            .OrderByDescending(item => item.Pairs.Count).ThenBy(item => item.Metric.DepthMm != WidthFit.DepthMm).FirstOrDefault();
        return most.Pairs is null ? null : new(
            $"{MetricWords.Heading(most.Metric)}, with {RepeatabilityWords.The(most.Method)}: repeats of {Person.Name}", "Second less first", most.Metric.Unit, most.Pairs);
    }

    /// <summary>They against another person: of the metric asked for, else of the one compared most; null where too little was.</summary>
    public AgreementDrawing? Against(string otherId, Metric? asked)
    {
        var most = Others.Where(other => other.Other.Id == otherId && (asked is null || other.Found.Metric == asked))
            .OrderByDescending(other => other.Found.Compared.Count).ThenBy(other => other.Found.Metric.DepthMm != WidthFit.DepthMm).FirstOrDefault();
        return most.Found is not { } found ? null : new(
            $"{MetricWords.Heading(found.Metric)}, with {RepeatabilityWords.The(found.Method)}: {Person.Name} and {most.Other.Name}",
            $"{Person.Name} less {most.Other.Name}", found.Metric.Unit, found.Compared);
    }
}

/// <summary>Names of those who measured, each looked up once.</summary>
internal sealed class SeenNames(ReadSession session, Caller caller)
{
    private readonly Dictionary<string, NamedAnswer> known = [];

    public async Task<NamedAnswer> OfAsync(string id)
    {
        if (!known.TryGetValue(id, out var named))
            known.Add(id, named = new(id, (await PersonStore.FindAsync(session, caller.Sight, id))?.Name ?? "Somebody of another yard"));
        return named;
    }
}
