using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Keys;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Features.Keys;

/// <summary>A key in the list.</summary>
/// <param name="Key">The key.</param>
/// <param name="Reaches">Its yards, in words.</param>
/// <param name="Person">Who uses it; null where nobody is named.</param>
/// <param name="IsOwn">Whether whoever looks is signed in with it.</param>
public sealed record KeyLine(KeyAnswer Key, string Reaches, string? Person, bool IsOwn);

/// <summary>What the page of the keys shows.</summary>
/// <param name="Living">Those that work.</param>
/// <param name="Ended">Those that do not any more.</param>
public sealed record KeysModel(IReadOnlyList<KeyLine> Living, IReadOnlyList<KeyLine> Ended);

/// <summary>What the form to make a key shows.</summary>
/// <param name="Yards">Yards it can reach.</param>
/// <param name="People">Who can use it.</param>
/// <param name="Form">The form.</param>
public sealed record NewKeyModel(IReadOnlyList<(string Value, string Text)> Yards, IReadOnlyList<(string Value, string Text)> People, FormState Form);

/// <summary>Pages to make, list and end keys.</summary>
internal static class KeyPages
{
    private const string List = "/keys";
    private const string New = "/keys/new";

    public static void MapKeyPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage(List, ListAsync).Needs(Scope.Admin);
        routes.MapPage(New, AskAsync).Needs(Scope.Admin);
        routes.MapForm(New, MakeAsync).Needs(Scope.Admin);
        routes.MapPage("/keys/{id}/end", ConfirmAsync).Needs(Scope.Admin);
        routes.MapForm("/keys/{id}/end", EndAsync).Needs(Scope.Admin);
    }

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yards = (await YardChoices.AllAsync(session, caller)).ToDictionary(yard => yard.Value, yard => yard.Text);
        List<KeyLine> living = [], ended = [];
        foreach (var row in await Paging.AllAsync(page => KeyStore.ListAsync(session, caller.Sight, page)))
            (row.WorksAt(clock.GetUtcNow()) ? living : ended).Add(new(
                KeyAnswer.Of(row), YardChoices.Words(row.YardIds, yards), await PersonChoices.NameAsync(session, caller, row.PersonId), row.Id == caller.KeyId));
        return PageRoutes.Show<KeysPage>(http, new KeysModel(living, ended));
    }

    private static async Task<IResult> AskAsync(HttpContext http, Caller caller, Database database, TimeProvider clock) =>
        PageRoutes.Show<NewKeyPage>(http, await FormAsync(http, caller, database, FormState.New(clock)));

    private static async Task<IResult> MakeAsync(HttpContext http, Caller caller, Database database, Writes writes)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        NewKeyAnswer? made = null;
        return await FormPost.AnswerAsync(
            http, form,
            () => KeyEndpoints.MakeShownAsync(http, form.Read<KeyRequest>(), caller, writes, shown => made = shown),
            () => PageRoutes.Show<SecretPage>(http, Shown(made)),
            async state => PageRoutes.Show<NewKeyPage>(http, await FormAsync(http, caller, database, state), StatusCodes.Status422UnprocessableEntity));
    }

    private static SecretModel Shown(NewKeyAnswer? made) => made is null
        ? new("Made already", null, "This form was sent before, and the key was shown then. It is not kept: end that key and make another if it is lost.", List)
        : new($"The key of {made.Key.Name}", made.Secret, "Shown this once: keep it now. Whoever has it signs in with it.", List);

    private static async Task<NewKeyModel> FormAsync(HttpContext http, Caller caller, Database database, FormState form)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        return new NewKeyModel(await YardChoices.AllAsync(session, caller), await PersonChoices.EverybodyAsync(session, caller), form);
    }

    private static async Task<IResult> ConfirmAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock) =>
        PageRoutes.Show<ConfirmPage>(http, await EndingAsync(http, id, caller, database, FormState.New(clock)));

    private static async Task<IResult> EndAsync(HttpContext http, string id, Caller caller, Database database, Writes writes)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        return await FormPost.TakeAsync(
            http, form, () => KeyEndpoints.RevokeAsync(http, id, caller, writes), List,
            async state => PageRoutes.Show<ConfirmPage>(http, await EndingAsync(http, id, caller, database, state), StatusCodes.Status422UnprocessableEntity));
    }

    private static async Task<ConfirmModel> EndingAsync(HttpContext http, string id, Caller caller, Database database, FormState form)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var key = await KeyEndpoints.RequireAsync(session, caller, id);
        var left = (await SubscriptionStore.OfKeyAsync(session, key.Id)).Count;
        var says = (key.Id == caller.KeyId ? "You are signed in with it yourself: you will be signed out. " : "")
            + "Whoever uses it is shut out at once, and its calendar addresses end. "
            + (left == 0 ? "It made no subscription that is left." : $"Subscriptions it made go on ({left}): end those that nobody should have.");
        return new ConfirmModel("End a key", key.Name, says, "End it", $"/keys/{key.Id}/end", List, form);
    }
}
