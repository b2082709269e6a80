using BackTracker.Service.Delivery;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Features.Audit;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>What is needed to make a subscription.</summary>
/// <param name="Guard">Where webhooks may go.</param>
/// <param name="Secrets">Makes their secrets.</param>
/// <param name="Mail">The mail server.</param>
internal sealed record SubscriptionMeans(AddressGuard Guard, WebhookSecrets Secrets, MailSettings Mail);

/// <summary>Who is told of what happens, by webhook or by mail.</summary>
internal static class SubscriptionEndpoints
{
    private const int MostQuestionsADay = 3;
    private static readonly TimeSpan Overlap = TimeSpan.FromHours(24);

    public static void MapSubscriptions(this IEndpointRouteBuilder routes)
    {
        var subscriptions = routes.MapGroup("/v1/subscriptions").WithTags("Subscriptions");
        subscriptions.MapPost("/", MakeAsync).Needs(Scope.Manage).Creates<NewSubscriptionAnswer>("Subscribe a webhook or a mail address to events");
        subscriptions.MapGet("/", ListAsync).Needs(Scope.Manage).Lists<SubscriptionAnswer>("List subscriptions");
        subscriptions.MapGet("/{id}", GetAsync).Needs(Scope.Manage).Shows<SubscriptionAnswer>("Get a subscription");
        subscriptions.MapPut("/{id}", ChangeAsync).Needs(Scope.Manage).Changes<SubscriptionAnswer>("Change a subscription");
        subscriptions.MapDelete("/{id}", EndAsync).Needs(Scope.Manage).Ends("End a subscription");
        subscriptions.MapPost("/{id}/rotate", RotateAsync).Needs(Scope.Manage).Moves<NewSubscriptionAnswer>("Replace the secret of a webhook; both sign for 24 hours");
    }

    private static Task<IResult> MakeAsync(HttpContext http, SubscriptionRequest request, Caller caller, Writes writes, AddressGuard guard, WebhookSecrets secrets, MailSettings mail) =>
        MakeShownAsync(http, request, caller, writes, new SubscriptionMeans(guard, secrets, mail), _ => { });

    /// <summary>Subscribe; `shown` hears of it with its secret, where it is made and not answered again</summary>
    public static Task<IResult> MakeShownAsync(HttpContext http, SubscriptionRequest request, Caller caller, Writes writes, SubscriptionMeans means, Action<NewSubscriptionAnswer> shown) =>
        writes.RunAsync(http, request, async session =>
        {
            var blank = new SubscriptionRow { Id = session.NewId(), Channel = Words.Write(request.Url is null ? SubscriptionChannel.Mail : SubscriptionChannel.Webhook), Version = 1, CreatedAt = session.NowText };
            var row = await FillAsync(session, caller, request, means.Guard, blank);
            var made = row.Url is null ? await AddMailAsync(session, row, means.Mail) : await AddWebhookAsync(session, row, means.Secrets);
            shown(made);
            await AuditStore.NoteAsync(session, "create", "subscription", row.Id);
            return Answer.Created($"/v1/subscriptions/{row.Id}", made, row.Version) with { Remembered = made.WithoutSecret() };
        });

    private static async Task<NewSubscriptionAnswer> AddWebhookAsync(WriteSession session, SubscriptionRow row, WebhookSecrets secrets)
    {
        var (shown, stored) = secrets.New();
        await SubscriptionStore.AddAsync(session, row with { Secret = stored });
        return new(row.Id, shown, "The secret is shown this once: keep it where the receiver verifies signatures.", SubscriptionAnswer.Of(row, session.Now));
    }

    private static async Task<NewSubscriptionAnswer> AddMailAsync(WriteSession session, SubscriptionRow row, MailSettings mail)
    {
        if (!mail.IsSetUp)
            throw new ProblemException(ProblemKind.Conflict, "No mail server is set up here, so no letter could go out. Ask the operator to set Mail:Host and Mail:From, or give a url for a webhook.");
        if (await SubscriptionStore.AskedAsync(session, row.Email!, session.Now.AddDays(-1)) >= MostQuestionsADay)
            throw new ProblemException(ProblemKind.Conflict, $"{MostQuestionsADay} letters have asked this address within a day whether it wants to be told. Look for them there, or try again tomorrow.");
        var word = WebSecret.New();
        await SubscriptionStore.AddAsync(session, row with { ConfirmHash = WebSecret.Hash(word) });
        await ConfirmationLetter.WriteAsync(session, row.Id, word);
        return new(row.Id, null, $"A letter is on its way to {row.Email}. Nothing else is sent there before the link in it was opened.", SubscriptionAnswer.Of(row, session.Now));
    }

    private static async Task<IResult> ListAsync(HttpContext http, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return Paging.List(http, await SubscriptionStore.ListAsync(session, caller.Sight, Paging.Of(http)), row => SubscriptionAnswer.Of(row, clock.GetUtcNow()));
    }

    private static async Task<IResult> GetAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await RequireAsync(session, caller, id);
        // Not by version: how the way to the receiver stands changes without one.
        http.Response.Headers.ETag = Conditional.Etag(row.Version);
        return Json.Answer(SubscriptionAnswer.Of(row, clock.GetUtcNow()));
    }

    private static Task<IResult> ChangeAsync(HttpContext http, string id, SubscriptionRequest request, Caller caller, Writes writes, AddressGuard guard) =>
        writes.RunAsync(http, request, async session =>
        {
            var before = await RequireLivingAsync(session, caller, id);
            Conditional.RequireMatch(http, before.Version);
            if (request.Email != before.Email)
                throw ProblemException.Impossible(request.Url is null ? "/email" : "/url", "A subscription keeps its channel, and a mail address is confirmed once: end this one and make another.");
            var after = await FillAsync(session, caller, request, guard, before);
            await WriteAsync(session, after);
            await LaneStore.WakeAsync(session, after.Id);
            var now = await RequireAsync(session, caller, id);
            await AuditStore.NoteChangeAsync(session, "subscription", after.Id, AuditChanges.Between(SubscriptionAnswer.Of(before, session.Now), SubscriptionAnswer.Of(now, session.Now)));
            return Answer.Ok(SubscriptionAnswer.Of(now, session.Now), now.Version);
        });

    /// <summary>End a subscription</summary>
    public static Task<IResult> EndAsync(HttpContext http, string id, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var before = await RequireAsync(session, caller, id);
        if (!await SubscriptionStore.EndAsync(session, before.Id))
            return Answer.NoContent;
        await DeliveryStore.ParkAsync(session, before.Id, session.Now, "The subscription was ended.");
        await AuditStore.NoteAsync(session, "end", "subscription", before.Id);
        return Answer.NoContent;
    });

    private static Task<IResult> RotateAsync(HttpContext http, string id, Caller caller, Writes writes, WebhookSecrets secrets) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var before = await RequireWebhookAsync(session, caller, id);
        Conditional.RequireMatch(http, before.Version);
        if (before.OldSecretUntil is { } until && Instants.Read(until) > session.Now)
            throw new ProblemException(ProblemKind.Conflict, $"The secret before the last rotation signs until {until}, and a receiver may still rely on it. Rotate again after that.");
        var (shown, stored) = secrets.New();
        var after = before with { Secret = stored, OldSecret = before.Secret, OldSecretUntil = Instants.Write(session.Now + Overlap) };
        await WriteAsync(session, after);
        await AuditStore.NoteAsync(session, "rotate", "subscription", before.Id);
        var made = new NewSubscriptionAnswer(before.Id, shown, "Shown this once. For 24 hours the old secret signs too.", SubscriptionAnswer.Of(after, session.Now));
        return Answer.Ok(made, after.Version + 1) with { Remembered = made.WithoutSecret() };
    });

    private static async Task<SubscriptionRow> FillAsync(WriteSession session, Caller caller, SubscriptionRequest request, AddressGuard guard, SubscriptionRow row)
    {
        if (request.Url is { } url && guard.FaultOf(url) is { Length: > 0 } fault)
            throw ProblemException.Impossible("/url", fault);
        if (request.EveryYard && !(caller.Sight.EveryYard == 1 && caller.May(Scope.Admin)))
            throw ProblemException.Impossible("/yardIds", "Name the yards. Every yard at once takes an administrator's key that reaches every yard.");
        var yards = new List<string>();
        foreach (var yardId in request.YardIds ?? [])
            yards.Add((await YardEndpoints.RequireAsync(session, caller, yardId)).Id);
        var person = request.PersonId is { } personId ? await NamedPerson.RequireAsync(session, caller, personId, "/personId") : null;
        var filled = request.ToRow(row, yards, person?.Id);
        if (filled.Email is not null && await SubscriptionStore.DoublesAsync(session, filled) is [var other, ..])
            throw new ProblemException(ProblemKind.Conflict, $"This address is told of a yard of these already, by the subscription {other}, and would get each letter twice. Change or end that one.");
        return filled;
    }

    private static async Task WriteAsync(WriteSession session, SubscriptionRow row)
    {
        if (!await SubscriptionStore.ChangeAsync(session, row))
            throw ProblemException.Overtaken();
    }

    /// <summary>The subscription, where the caller reaches every yard of it.</summary>
    /// <exception cref="ProblemException">There is none such, or it is another's.</exception>
    public static async Task<SubscriptionRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await SubscriptionStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("subscription", id);

    /// <summary>The webhook, where the caller reaches every yard of it and it has not ended.</summary>
    /// <exception cref="ProblemException">There is none such, it has ended or it is a mail address.</exception>
    public static async Task<SubscriptionRow> RequireWebhookAsync(ReadSession session, Caller caller, string id) =>
        await RequireLivingAsync(session, caller, id) is { Url: not null } webhook
            ? webhook
            : throw new ProblemException(ProblemKind.Conflict, "This subscription sends letters: it has no secret, no test and no deliveries to retry.");

    private static async Task<SubscriptionRow> RequireLivingAsync(ReadSession session, Caller caller, string id) =>
        await RequireAsync(session, caller, id) is { EndedAt: null } living
            ? living
            : throw new ProblemException(ProblemKind.Conflict, "The subscription was ended. Make a new one.");
}
