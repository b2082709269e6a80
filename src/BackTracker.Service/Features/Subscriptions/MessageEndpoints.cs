using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>Where a letter stands.</summary>
public enum MessageState
{
    /// <summary>It waits, for its first try or for another.</summary>
    Pending,

    /// <summary>The mail server took it.</summary>
    Sent,

    /// <summary>It is not tried any more.</summary>
    Parked,
}

/// <summary>What a letter is for.</summary>
public enum MessageOccasion
{
    /// <summary>Something that cannot wait.</summary>
    AtOnce,

    /// <summary>The day's news of a yard.</summary>
    Digest,

    /// <summary>A fitter's week.</summary>
    Week,

    /// <summary>Asks for the confirmation of the address.</summary>
    Confirm,
}

/// <summary>A letter to a mail address.</summary>
/// <param name="Id">Id; the letter's Message-ID begins with it.</param>
/// <param name="YardId">The yard it speaks of; null for a confirmation.</param>
/// <param name="Occasion">What it is for.</param>
/// <param name="State">Where it stands.</param>
/// <param name="Attempts">How often it was tried.</param>
/// <param name="NextAt">When it is tried next; null where it is not.</param>
/// <param name="LastError">What went wrong at the last try; null where nothing did.</param>
/// <param name="SentAt">When the mail server took it; null before.</param>
/// <param name="CreatedAt">When it was written.</param>
public sealed record MessageAnswer(
    string Id, string? YardId, MessageOccasion Occasion, MessageState State, long Attempts, string? NextAt, string? LastError, string? SentAt, string CreatedAt)
{
    public static MessageAnswer Of(MessageRow row) => new(
        row.Id, row.YardId, Words.Read<MessageOccasion>(row.Occasion), Words.Read<MessageState>(row.State), row.Attempts,
        row.State == "pending" ? row.NextAt : null, row.LastError, row.SentAt, row.CreatedAt);
}

/// <summary>The letters of a subscription by mail: which were sent, which wait, which could not be sent and why.</summary>
internal static class MessageEndpoints
{
    public static void MapMessages(this IEndpointRouteBuilder routes)
    {
        var messages = routes.MapGroup("/v1/subscriptions/{id}/messages").WithTags("Subscriptions");
        messages.MapGet("/", ListAsync).Needs(Scope.Manage).Lists<MessageAnswer>("List the letters of a subscription");
        messages.MapPost("/{messageId}/retry", RetryAsync).Needs(Scope.Manage).Does<MessageAnswer>("Try a letter again that waits or was parked");
    }

    private static async Task<IResult> ListAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var subscription = await RequireAsync(session, caller, id);
        return Paging.List(http, await MessageStore.ListAsync(session, subscription.Id, Paging.Of(http)), MessageAnswer.Of);
    }

    /// <summary>Try a letter again that waits or was parked</summary>
    public static Task<IResult> RetryAsync(HttpContext http, string id, string messageId, Caller caller, Writes writes) => writes.RunAsync(http, new NoBody(), async session =>
    {
        var subscription = await RequireAsync(session, caller, id);
        var message = await MessageStore.FindAsync(session, subscription.Id, Ids.Canonical(messageId) ?? "") ?? throw ProblemException.NotFound("letter", messageId);
        if (!await MessageStore.RetryAsync(session, message.Id))
            throw new ProblemException(ProblemKind.Conflict, message.SentAt is null
                ? "What the letter said was forgotten, because it is too old to be sent. Where it asked for the confirmation of the address, end this subscription and make it again."
                : $"The letter was sent already, at {message.SentAt}.");
        await AuditStore.NoteAsync(session, "retry", "message", message.Id);
        return new Answer(StatusCodes.Status200OK, MessageAnswer.Of((await MessageStore.FindAsync(session, subscription.Id, message.Id))!));
    });

    private static async Task<SubscriptionRow> RequireAsync(ReadSession session, Caller caller, string id) =>
        await SubscriptionStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "") ?? throw ProblemException.NotFound("subscription", id);
}
