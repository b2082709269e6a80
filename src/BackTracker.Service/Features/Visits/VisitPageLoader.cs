using System.Globalization;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Visits;

/// <summary>Puts the page of a visit together.</summary>
internal sealed class VisitPageLoader(Database database, TimeProvider clock, CheckPolicy policy)
{
    private static readonly VisitStep[] Offered = [VisitStep.Complete, VisitStep.Move, VisitStep.FallThrough];

    /// <summary>The visit as it is now, with every form that applies; one that was refused as it was sent.</summary>
    public async Task<VisitModel> LoadAsync(HttpContext http, string id, Caller caller, Dictionary<VisitStep, FormState> refused)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var row = await VisitEndpoints.RequireAsync(session, caller, id);
        var visit = await VisitAnswer.OfAsync(session, row);
        var yard = await YardEndpoints.RequireAsync(session, caller, row.YardId);
        var people = await PersonChoices.OfYardAsync(session, caller, yard.Id);
        var mine = visit.State == VisitState.Planned ? Offered.Where(step => VisitSteps.Needs(step).Any(caller.May)).ToList() : [];
        var checks = await ChecksAsync(session, caller, visit, refused.GetValueOrDefault(VisitStep.Complete));
        var doers = PersonChoices.Doers(caller, people);
        var today = YardTime.Day(yard.TimeZone, clock.GetUtcNow());
        return new VisitModel(new Named(yard.Id, yard.Name), visit, Conditional.Etag(row.Version), (await PersonChoices.NameAsync(session, caller, row.FitterId))!)
        {
            Checks = checks,
            Forms = mine.ToDictionary(step => step, step => refused.GetValueOrDefault(step, Filled(step, visit, today, doers)) with { Mark = Words.Write(step) }),
            Doers = doers,
            Refused = [.. refused.Where(form => !mine.Contains(form.Key)).SelectMany(form => form.Value.Faults.Values)],
        };
    }

    private async Task<IReadOnlyList<VisitModelCheck>> ChecksAsync(ReadSession session, Caller caller, VisitAnswer visit, FormState? sent)
    {
        var places = Places(sent);
        var next = places.Values.DefaultIfEmpty(-1).Max() + 1;
        var checks = new List<VisitModelCheck>();
        foreach (var check in visit.Checks)
        {
            var saddle = check.PairingId is null ? "" : $", {(await PairingEndpoints.RequireAsync(session, caller, check.PairingId)).SaddleLabel}";
            var signs = await VetFirstSigns.OpenAsync(session, check.HorseId, policy);
            checks.Add(new VisitModelCheck(
                places.TryGetValue(check.Id, out var place) ? place : next++, check, $"{check.HorseName}{saddle}: {BoardWords.Name(check.Kind)}", signs));
        }
        return checks;
    }

    /// <summary>Where each check stood in a form that was sent: the visit may have others by now.</summary>
    private static Dictionary<string, int> Places(FormState? sent)
    {
        var places = new Dictionary<string, int>();
        foreach (var (name, value) in sent?.Values ?? new Dictionary<string, string>())
            if (name.Split('/') is ["", "checks", var place, "checkId"] && int.TryParse(place, NumberStyles.None, CultureInfo.InvariantCulture, out var index))
                places.TryAdd(value, index);
        return places;
    }

    /// <summary>A form with what is most likely filled in: everything done, on the day, by whoever was to come.</summary>
    private FormState Filled(VisitStep step, VisitAnswer visit, DateOnly today, IReadOnlyList<(string Value, string Text)> doers) => step == VisitStep.Complete
        ? FormState.New(clock,
            ("/on", Instants.WriteDay(visit.On < today ? visit.On : today)), ("/by", doers.Any(doer => doer.Value == visit.FitterId) ? visit.FitterId : ""))
        : FormState.New(clock);
}
