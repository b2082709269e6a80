using BackTracker.Service.Delivery;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>Where a delivery stands.</summary>
public enum DeliveryState
{
    /// <summary>To be sent, for the first time or again.</summary>
    Pending,

    /// <summary>The receiver took it.</summary>
    Delivered,

    /// <summary>Given up; it can be retried by hand.</summary>
    Parked,
}

/// <summary>An event on its way to a webhook.</summary>
/// <param name="Id">Id of the delivery.</param>
/// <param name="EventId">Id of the event: `id` in its body and the header webhook-id.</param>
/// <param name="Type">Type of the event.</param>
/// <param name="HorseId">The horse; null for a test.</param>
/// <param name="Sequence">Place among the horse's events; null for a test.</param>
/// <param name="State">Where it stands.</param>
/// <param name="Attempts">How often it was tried, since it was last retried by hand.</param>
/// <param name="LastTriedAt">When it was tried last.</param>
/// <param name="LastStatus">HTTP status of the last try; null where there was no answer.</param>
/// <param name="LastError">What was wrong last, in words.</param>
/// <param name="NextTryAt">When it may be tried next; null where it will not be.</param>
/// <param name="CreatedAt">When it was written.</param>
public sealed record DeliveryAnswer(
    string Id, string EventId, string Type, string? HorseId, string? Sequence, DeliveryState State, int Attempts, string? LastTriedAt,
    int? LastStatus, string? LastError, string? NextTryAt, string CreatedAt)
{
    public static DeliveryAnswer Of(DeliveryRow row)
    {
        var state = Words.Read<DeliveryState>(row.State);
        return new(
            row.Id, row.EventId, row.Type, row.HorseId, Known(row.Sequence), state, row.Attempts, row.TriedAt,
            row.Status == 0 ? null : row.Status, Known(row.Error), state == DeliveryState.Pending ? row.NextAt : null, row.CreatedAt);
    }

    private static string? Known(string text) => text.Length == 0 ? null : text;
}

/// <summary>What was sent to a webhook and what came of it.</summary>
internal static class DeliveryEndpoints
{
    public static void MapDeliveries(this IEndpointRouteBuilder routes)
    {
        var deliveries = routes.MapGroup("/v1/subscriptions/{id}").WithTags("Subscriptions");
        deliveries.MapGet("/deliveries", ListAsync).Needs(Scope.Manage).Lists<DeliveryAnswer>("List the deliveries of a webhook");
        deliveries.MapGet("/deliveries/{deliveryId}", GetAsync).Needs(Scope.Manage).Computes<DeliveryAnswer>("Get a delivery");
        deliveries.MapPost("/deliveries/{deliveryId}/retry", RetryAsync).Needs(Scope.Manage).Does<DeliveryAnswer>("Send an event again, with the same id");
        deliveries.MapPost("/test", TestAsync).Needs(Scope.Manage).Creates<DeliveryAnswer>("Send a webhook a signed test");
    }

    private static async Task<IResult> ListAsync(HttpContext http, string id, [WordsOf(typeof(DeliveryState))] string? state, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var subscription = await SubscriptionEndpoints.RequireAsync(session, caller, id);
        var word = QueryWord.Check<DeliveryState>(nameof(state), state);
        return Paging.List(http, await DeliveryStore.ListAsync(session, subscription.Id, word, Paging.Of(http)), DeliveryAnswer.Of);
    }

    private static async Task<IResult> GetAsync(string id, string deliveryId, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var subscription = await SubscriptionEndpoints.RequireAsync(session, caller, id);
        return Json.Answer(DeliveryAnswer.Of(await RequireAsync(session, subscription.Id, deliveryId)));
    }

    /// <summary>Send an event again, with the same id</summary>
    public static Task<IResult> RetryAsync(HttpContext http, string id, string deliveryId, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var subscription = await SubscriptionEndpoints.RequireWebhookAsync(session, caller, id);
        var before = await RequireAsync(session, subscription.Id, deliveryId);
        await LaneStore.WakeAsync(session, subscription.Id);
        await DeliveryStore.RetryAsync(session, before.Id);
        await AuditStore.NoteAsync(session, "retry", "delivery", before.Id);
        return new Answer(200, DeliveryAnswer.Of(await RequireAsync(session, subscription.Id, before.Id)));
    });

    /// <summary>Send a webhook a signed test</summary>
    public static Task<IResult> TestAsync(HttpContext http, string id, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var subscription = await SubscriptionEndpoints.RequireWebhookAsync(session, caller, id);
        await LaneStore.WakeAsync(session, subscription.Id);
        var deliveryId = await Events.TestAsync(session, subscription.Id);
        await AuditStore.NoteAsync(session, "test", "subscription", subscription.Id);
        var made = DeliveryAnswer.Of(await RequireAsync(session, subscription.Id, deliveryId));
        return new Answer(201, made) { Location = $"/v1/subscriptions/{subscription.Id}/deliveries/{deliveryId}" };
    });

    private static async Task<DeliveryRow> RequireAsync(ReadSession session, string subscriptionId, string deliveryId) =>
        await DeliveryStore.FindAsync(session, subscriptionId, Ids.Canonical(deliveryId) ?? "") ?? throw ProblemException.NotFound("delivery", deliveryId);
}
