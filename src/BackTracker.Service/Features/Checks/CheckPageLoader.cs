using BackTracker.Engine.Checks;
using BackTracker.Engine.Visits;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.People;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Checks;

/// <summary>Puts the page of a check together.</summary>
internal sealed class CheckPageLoader(Database database, TimeProvider clock, CheckPolicy policy)
{
    /// <summary>The check as it is now, with every form that applies.</summary>
    public Task<CheckModel> LoadAsync(HttpContext http, string id, Caller caller) => LoadAsync(http, id, caller, new Dictionary<CheckMove, FormState>());

    /// <summary>The check as it is now, with the form that was refused as it was sent.</summary>
    public Task<CheckModel> LoadAsync(HttpContext http, string id, Caller caller, CheckMove move, FormState refused) =>
        LoadAsync(http, id, caller, new Dictionary<CheckMove, FormState> { [move] = refused });

    private async Task<CheckModel> LoadAsync(HttpContext http, string id, Caller caller, Dictionary<CheckMove, FormState> refused)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var row = await CheckEndpoints.RequireAsync(session, caller, id);
        var (check, yard) = (CheckAnswer.Of(row), await YardEndpoints.RequireAsync(session, caller, row.YardId));
        var people = await PersonChoices.OfYardAsync(session, caller, yard.Id);
        var pairing = row.PairingId is null ? null : await PairingEndpoints.RequireAsync(session, caller, row.PairingId);
        var signs = await VetFirstSigns.RowsAsync(session, row.HorseId, policy);
        var offered = CheckMoves.Offered(check.Kind, check.State, [.. signs.Select(sign => sign.Id)]);
        var mine = offered.Where(move => CheckMoves.Needs(move).Any(caller.May)).ToList();
        var today = YardTime.Day(yard.TimeZone, clock.GetUtcNow());
        var comers = Comers(check.Kind, people);
        var doers = PersonChoices.Doers(caller, people);
        var comer = check.FitterId ?? First(comers);
        var visitOn = VisitDay(check.DueOn < today ? today : check.DueOn, today, Bookings.Days(yard, people.FirstOrDefault(person => person.Id == comer)));
        return new CheckModel(new Named(yard.Id, yard.Name), today, check, Conditional.Etag(row.Version))
        {
            Saddle = pairing?.SaddleLabel,
            Fitter = await PersonChoices.NameAsync(session, caller, row.FitterId),
            DoneBy = await PersonChoices.NameAsync(session, caller, row.DoneBy),
            Altered = pairing is null ? [] : await AlteredAsync(session, pairing.SaddleId, row.Id),
            Steps = [.. (await CheckStore.StepsAsync(session, row.Id)).Select(step => Line(yard, CheckStepAnswer.Of(step)))],
            VetFirst = [.. signs.Select(sign => new Named(sign.Id, VetFirstSigns.Text(sign)))],
            Forms = mine.ToDictionary(move => move, move => refused.GetValueOrDefault(move, Filled(move, check, today, (visitOn, comer), doers)) with { Mark = Words.Write(move) }),
            MayRecord = caller.May(Scope.Record),
            ForOthers = [.. offered.Except(mine)],
            Refused = [.. refused.Where(form => !mine.Contains(form.Key)).SelectMany(form => form.Value.Faults.Values)],
            Comers = comers,
            Doers = doers,
        };
    }

    /// <summary>A form with what is most likely filled in, so that an ordinary visit takes few taps.</summary>
    private FormState Filled(CheckMove move, CheckAnswer check, DateOnly today, (DateOnly On, string FitterId) visit, IReadOnlyList<(string Value, string Text)> doers) => move switch
    {
        CheckMove.Book => FormState.New(clock, ("/on", Instants.WriteDay(visit.On)), ("/fitterId", visit.FitterId)),
        CheckMove.Complete => FormState.New(clock,
            ("/on", Instants.WriteDay(check.BookedOn is { } on && on < today ? on : today)),
            ("/by", check.FitterId ?? First(doers)),
            ("/adjustments/0/kind", check.Kind == CheckKind.Flocking ? "flocking" : "")),
        _ => FormState.New(clock),
    };

    /// <summary>The last day until the due one on which somebody can come, else the first after it.</summary>
    private static DateOnly VisitDay(DateOnly due, DateOnly today, VisitDays days) =>
        days.Between(today, due).Cast<DateOnly?>().LastOrDefault() ?? days.Between(due, due.AddDays(366)).FirstOrDefault(due);

    private static string First(IReadOnlyList<(string Value, string Text)> options) => options.Count == 0 ? "" : options[0].Value;

    private static IReadOnlyList<(string Value, string Text)> Comers(CheckKind kind, IReadOnlyList<PersonRow> people) => kind switch
    {
        CheckKind.Remeasure => [("", "The yard itself"), .. people.Select(PersonChoices.Of)],
        CheckKind.Vet => [.. people.Where(person => person.Role == "vet").Select(PersonChoices.Of), ("", "A vet who is not registered here")],
        _ => PersonChoices.Fitters(people),
    };

    private static async Task<IReadOnlyList<AdjustmentAnswer>> AlteredAsync(ReadSession session, string saddleId, string checkId) =>
        [.. (await SaddleStore.AdjustmentsAsync(session, [saddleId])).Where(change => change.CheckId == checkId && change.VoidedAt is null).Select(AdjustmentAnswer.Of)];

    private static CheckStepLine Line(YardRow yard, CheckStepAnswer step) => new(YardTime.Day(yard.TimeZone, Instants.Read(step.At)), CheckWords.Step(step));
}
