using BackTracker.Service.Delivery;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>A subscription in the list.</summary>
/// <param name="Subscription">The subscription.</param>
/// <param name="Where">Its yards, in words.</param>
/// <param name="Person">Who reads it; null where nobody is named.</param>
public sealed record SubscriptionLine(SubscriptionAnswer Subscription, string Where, string? Person);

/// <summary>What the form to make a subscription shows.</summary>
/// <param name="Yards">Yards it can be of.</param>
/// <param name="People">Who can read it.</param>
/// <param name="Form">The form.</param>
public sealed record NewSubscriptionModel(IReadOnlyList<(string Value, string Text)> Yards, IReadOnlyList<(string Value, string Text)> People, FormState Form);

/// <summary>What the page of a subscription shows.</summary>
/// <param name="Line">The subscription.</param>
/// <param name="Sent">What went there, the last first.</param>
/// <param name="Form">The form to try again or to test.</param>
public sealed record SubscriptionModel(SubscriptionLine Line, IReadOnlyList<SentLine> Sent, FormState Form);

/// <summary>Something that was or is to be sent.</summary>
/// <param name="Id">Its id.</param>
/// <param name="What">What it tells.</param>
/// <param name="State">Where it stands, in a word.</param>
/// <param name="More">When, how often, and what was wrong.</param>
/// <param name="Again">Where a form is sent that tries it again; null where there is nothing to try.</param>
public sealed record SentLine(string Id, string What, string State, string More, string? Again);

/// <summary>Pages of subscriptions: who is told of what, what went there, and what did not.</summary>
internal sealed class SubscriptionPages(Database database, TimeProvider clock, Writes writes, AddressGuard guard, WebhookSecrets secrets, MailSettings mail)
{
    private const string List = "/subscriptions";
    private const string New = "/subscriptions/new";
    private const int MostSent = 50;

    public static void Map(IEndpointRouteBuilder routes)
    {
        routes.MapPage(List, (HttpContext http, Caller caller, SubscriptionPages pages) => pages.ListAsync(http, caller)).Needs(Scope.Manage);
        routes.MapPage(New, (HttpContext http, Caller caller, SubscriptionPages pages) => pages.AskAsync(http, caller)).Needs(Scope.Manage);
        routes.MapForm(New, (HttpContext http, Caller caller, SubscriptionPages pages) => pages.MakeAsync(http, caller)).Needs(Scope.Manage);
        routes.MapPage("/subscriptions/{id}", (HttpContext http, string id, Caller caller, SubscriptionPages pages) => pages.ShowAsync(http, id, caller)).Needs(Scope.Manage);
        routes.MapPage("/subscriptions/{id}/end", (HttpContext http, string id, Caller caller, SubscriptionPages pages) => pages.ConfirmAsync(http, id, caller)).Needs(Scope.Manage);
        routes.MapForm("/subscriptions/{id}/end", (HttpContext http, string id, Caller caller, SubscriptionPages pages) => pages.EndAsync(http, id, caller)).Needs(Scope.Manage);
        routes.MapForm("/subscriptions/{id}/test", (HttpContext http, string id, Caller caller, SubscriptionPages pages) =>
            pages.DoAsync(http, id, caller, () => DeliveryEndpoints.TestAsync(http, id, caller, pages.Writes))).Needs(Scope.Manage);
        routes.MapForm("/subscriptions/{id}/delivery-{deliveryId}", (HttpContext http, string id, string deliveryId, Caller caller, SubscriptionPages pages) =>
            pages.DoAsync(http, id, caller, () => DeliveryEndpoints.RetryAsync(http, id, deliveryId, caller, pages.Writes))).Needs(Scope.Manage);
        routes.MapForm("/subscriptions/{id}/message-{messageId}", (HttpContext http, string id, string messageId, Caller caller, SubscriptionPages pages) =>
            pages.DoAsync(http, id, caller, () => MessageEndpoints.RetryAsync(http, id, messageId, caller, pages.Writes))).Needs(Scope.Manage);
    }

    private Writes Writes => writes;

    private async Task<IResult> ListAsync(HttpContext http, Caller caller)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var yards = await NamesAsync(session, caller);
        var lines = new List<SubscriptionLine>();
        foreach (var row in await Paging.AllAsync(page => SubscriptionStore.ListAsync(session, caller.Sight, page)))
            lines.Add(await LineAsync(session, caller, row, yards));
        return PageRoutes.Show<SubscriptionsPage>(http, (IReadOnlyList<SubscriptionLine>)lines);
    }

    private async Task<IResult> AskAsync(HttpContext http, Caller caller) => PageRoutes.Show<NewSubscriptionPage>(http, await FormAsync(http, caller, FormState.New(clock)));

    private async Task<IResult> MakeAsync(HttpContext http, Caller caller)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        NewSubscriptionAnswer? made = null;
        return await FormPost.AnswerAsync(
            http, form,
            () => SubscriptionEndpoints.MakeShownAsync(http, form.Read<SubscriptionRequest>(), caller, writes, new SubscriptionMeans(guard, secrets, mail), shown => made = shown),
            () => PageRoutes.Show<SecretPage>(http, made is null
                ? new SecretModel("Made already", null, "This form was sent before. A secret was shown then and is not kept.", List)
                : new SecretModel(made.Secret is null ? "A letter is on its way" : "The secret of the webhook", made.Secret, made.Note, $"/subscriptions/{made.Id}")),
            async state => PageRoutes.Show<NewSubscriptionPage>(http, await FormAsync(http, caller, state), StatusCodes.Status422UnprocessableEntity));
    }

    private async Task<NewSubscriptionModel> FormAsync(HttpContext http, Caller caller, FormState form)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        return new NewSubscriptionModel(await YardChoices.AllAsync(session, caller), await PersonChoices.EverybodyAsync(session, caller), form);
    }

    private async Task<IResult> ShowAsync(HttpContext http, string id, Caller caller) =>
        PageRoutes.Show<SubscriptionPage>(http, await OneAsync(http, id, caller, FormState.New(clock)));

    private async Task<SubscriptionModel> OneAsync(HttpContext http, string id, Caller caller, FormState form)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var row = await SubscriptionEndpoints.RequireAsync(session, caller, id);
        IReadOnlyList<SentLine> sent = row.Url is null
            ? [.. (await MessageStore.LatestAsync(session, row.Id, MostSent)).Select(letter => SubscriptionWords.Line(row.Id, MessageAnswer.Of(letter)))]
            : [.. (await DeliveryStore.LatestAsync(session, row.Id, MostSent)).Select(delivery => SubscriptionWords.Line(row.Id, DeliveryAnswer.Of(delivery)))];
        return new SubscriptionModel(await LineAsync(session, caller, row, await NamesAsync(session, caller)), sent, form);
    }

    private async Task<IResult> DoAsync(HttpContext http, string id, Caller caller, Func<Task<IResult>> handle)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        var shown = await OneAsync(http, id, caller, FormState.New(clock));
        return await FormPost.TakeAsync(
            http, form, handle, $"/subscriptions/{shown.Line.Subscription.Id}",
            state => Task.FromResult<IResult>(PageRoutes.Show<SubscriptionPage>(http, shown with { Form = state }, StatusCodes.Status422UnprocessableEntity)));
    }

    private async Task<IResult> ConfirmAsync(HttpContext http, string id, Caller caller) =>
        PageRoutes.Show<ConfirmPage>(http, Ending((await OneAsync(http, id, caller, FormState.New(clock))).Line, FormState.New(clock)));

    private async Task<IResult> EndAsync(HttpContext http, string id, Caller caller)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        var line = (await OneAsync(http, id, caller, FormState.New(clock))).Line;
        return await FormPost.TakeAsync(
            http, form, () => SubscriptionEndpoints.EndAsync(http, id, caller, writes), List,
            state => Task.FromResult<IResult>(PageRoutes.Show<ConfirmPage>(http, Ending(line, state), StatusCodes.Status422UnprocessableEntity)));
    }

    private static ConfirmModel Ending(SubscriptionLine line, FormState form) => new(
        "End a subscription", SubscriptionWords.Name(line.Subscription), $"Nothing more is sent there about {line.Where}. What waits to be sent is not sent.", "End it",
        $"/subscriptions/{line.Subscription.Id}/end", $"/subscriptions/{line.Subscription.Id}", form);

    private static async Task<IReadOnlyDictionary<string, string>> NamesAsync(ReadSession session, Caller caller) =>
        (await YardChoices.AllAsync(session, caller)).ToDictionary(yard => yard.Value, yard => yard.Text);

    private async Task<SubscriptionLine> LineAsync(ReadSession session, Caller caller, SubscriptionRow row, IReadOnlyDictionary<string, string> yards) => new(
        SubscriptionAnswer.Of(row, clock.GetUtcNow()), YardChoices.Words(row.YardIds, yards), await PersonChoices.NameAsync(session, caller, row.PersonId));
}
