using BackTracker.Engine.Alerts;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>What the pages behind the links of letters show.</summary>
/// <param name="Word">The word that came with the link.</param>
/// <param name="Yards">The yards it is about.</param>
/// <param name="State">Where the subscription stands.</param>
public sealed record AddressModel(string Word, IReadOnlyList<string> Yards, AddressState State);

/// <summary>Where a subscription by mail stands.</summary>
public enum AddressState
{
    /// <summary>The address waits to be confirmed.</summary>
    Waiting,

    /// <summary>Letters are sent.</summary>
    Confirmed,

    /// <summary>It has ended.</summary>
    Ended,
}

/// <summary>
/// The pages behind the links of letters. Nobody has to sign in: the word in the link is enough. Opening a page changes nothing, because
/// programs that guard mailboxes open every link; its button does.
/// </summary>
internal static class AddressPages
{
    private const string Actor = "mail-link";
    public const string ConfirmPath = "/confirm-address";
    private const string EndPath = "/end-subscription";
    private const string EndAtOncePath = $"{EndPath}/at-once";

    public static void MapAddressPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage(ConfirmPath, ConfirmPageAsync);
        routes.MapForm(ConfirmPath, ConfirmAsync);
        routes.MapPage(EndPath, EndPageAsync);
        routes.MapForm(EndPath, EndAsync);
        routes.MapPage(EndAtOncePath, (string? word) => Results.LocalRedirect(With(EndPath, word ?? "")));
        // A mail program that ends the subscription by itself (RFC 8058) has seen no page, and so has no token of a form.
        routes.MapPost(EndAtOncePath, EndAtOnceAsync).ExcludeFromDescription();
    }

    private static async Task<IResult> ConfirmPageAsync(HttpContext http, string? word, Database database, TimeProvider clock)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var subscription = await OfConfirmWordAsync(session, word ?? "", clock.GetUtcNow());
        return PageRoutes.Show<ConfirmAddressPage>(http, await ModelAsync(session, subscription, word!));
    }

    private static async Task<IResult> ConfirmAsync(HttpContext http, Database database, AlertPolicy policy)
    {
        var word = (await http.Request.ReadFormAsync(http.RequestAborted))["word"].ToString();
        await using var session = await database.WriteAsync(Actor, http.RequestAborted);
        var subscription = await OfConfirmWordAsync(session, word, session.Now);
        if (await SubscriptionStore.ConfirmAsync(session, subscription.Id))
        {
            await AuditStore.NoteAsync(session, "confirm", "subscription", subscription.Id);
            await TellAsync(session, subscription, policy);
        }
        await session.CommitAsync();
        return Results.LocalRedirect(With(ConfirmPath, word));
    }

    // What cannot wait and nobody heard of did not stop being so.
    private static async Task TellAsync(WriteSession session, SubscriptionRow subscription, AlertPolicy policy)
    {
        foreach (var yard in (await YardStore.AllAsync(session)).Where(yard => subscription.Reaches(yard.Id)).OrderBy(yard => yard.Id, StringComparer.Ordinal))
            await AlertTeller.TellYardAsync(session, yard.Id, policy);
    }

    private static async Task<IResult> EndPageAsync(HttpContext http, string? word, Database database, EndWord words)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var subscription = await OfEndWordAsync(session, word ?? "", words);
        return PageRoutes.Show<EndSubscriptionPage>(http, await ModelAsync(session, subscription, word!));
    }

    private static async Task<IResult> EndAsync(HttpContext http, Database database, EndWord words)
    {
        var word = (await http.Request.ReadFormAsync(http.RequestAborted))["word"].ToString();
        await EndNowAsync(database, word, words, http.RequestAborted);
        return Results.LocalRedirect(With(EndPath, word));
    }

    private static async Task<IResult> EndAtOnceAsync(HttpContext http, string? word, Database database, EndWord words)
    {
        await EndNowAsync(database, word ?? "", words, http.RequestAborted);
        return Results.NoContent();
    }

    private static async Task EndNowAsync(Database database, string word, EndWord words, CancellationToken cancel)
    {
        await using var session = await database.WriteAsync(Actor, cancel);
        var subscription = await OfEndWordAsync(session, word, words);
        if (await SubscriptionStore.EndAsync(session, subscription.Id))
            await AuditStore.NoteAsync(session, "end", "subscription", subscription.Id);
        await session.CommitAsync();
    }

    private static async Task<SubscriptionRow> OfConfirmWordAsync(ReadSession session, string word, DateTimeOffset now) =>
        await SubscriptionStore.FindByConfirmHashAsync(session, WebSecret.Hash(word)) is { } subscription
            && (subscription.ConfirmedAt is not null || now < await EndOfWordAsync(session, subscription))
            ? subscription
            : throw Dead($"The link is not whole, or older than {ConfirmBody.WorksForDays} days. Nothing was changed. Ask whoever subscribed your address to do it again.");

    private static async Task<DateTimeOffset> EndOfWordAsync(ReadSession session, SubscriptionRow subscription)
    {
        var letter = await MessageStore.LastConfirmationAsync(session, subscription.Id);
        return Instants.Read(letter?.SentAt ?? letter?.CreatedAt ?? subscription.CreatedAt).AddDays(ConfirmBody.WorksForDays);
    }

    private static async Task<SubscriptionRow> OfEndWordAsync(ReadSession session, string word, EndWord words) =>
        words.TryRead(word, out var id) && await SubscriptionStore.FindAsync(session, Sight.All, id) is { } subscription
            ? subscription
            : throw Dead("The link is not whole. Nothing was changed: the letters go on. Open the link of a newer letter, or ask whoever runs BackTracker to end them.");

    private static ProblemException Dead(string words) => new(ProblemKind.NotFound with { Title = "This link does not work" }, words);

    private static async Task<AddressModel> ModelAsync(ReadSession session, SubscriptionRow subscription, string word) => new(
        word, await ToldYards.OfAsync(session, subscription),
        subscription.EndedAt is not null ? AddressState.Ended : subscription.ConfirmedAt is not null ? AddressState.Confirmed : AddressState.Waiting);

    private static string With(string path, string word) => $"{path}?word={Uri.EscapeDataString(word)}";
}
