using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Alerts;
using BackTracker.Service.Features.People;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>A subscription to make or change: a webhook by its url, or letters to a mail address.</summary>
public sealed record SubscriptionRequest : ICheckedRequest
{
    /// <summary>Address of the webhook, https.</summary>
    [StringLength(2000)]
    public string? Url { get; init; }

    /// <summary>Mail address.</summary>
    [StringLength(254)]
    public string? Email { get; init; }

    /// <summary>Event types; empty or left out for every type. A vet-first sign goes to the first who can hear it even where every address leaves it out.</summary>
    [MaxLength(50)]
    public IReadOnlyList<string>? Events { get; init; }

    /// <summary>The yards it is of; empty or left out for every yard, those to come among them, which needs an administrator's key of every yard.</summary>
    [MaxLength(1000)]
    public IReadOnlyList<string>? YardIds { get; init; }

    /// <summary>The person who reads it.</summary>
    public string? PersonId { get; init; }

    internal bool EveryYard => YardIds is null or [];

    public void Check(Faults faults)
    {
        if (Url is null == Email is null)
            faults.Add(Url is null ? "/url" : "/email", "Give a url for a webhook or an email for letters: one of the two.");
        if (Email is not null && !MailAddress.IsOne(Email))
            faults.Add("/email", MailAddress.Hint);
        // What letters never tell of would be waited for in vain.
        var types = Email is null ? EventTypes.All : EventTypes.InLetters;
        for (var i = 0; i < Events?.Count; i++)
            if (!types.Contains(Events[i]))
                faults.Add($"/events/{i}", $"Use one of: {string.Join(", ", types)}.");
    }

    internal SubscriptionRow ToRow(SubscriptionRow before, IEnumerable<string> yardIds, string? personId) => before with
    {
        Url = Url,
        Email = Email,
        PersonId = personId,
        Events = Json.Write((Events ?? []).Distinct()),
        EveryYard = EveryYard ? 1 : 0,
        Yards = string.Join(',', yardIds.Distinct().Order(StringComparer.Ordinal)),
    };
}

/// <summary>How somebody is told.</summary>
public enum SubscriptionChannel
{
    Webhook,
    Mail,
}

/// <summary>A subscription without its secret.</summary>
/// <param name="Id">Id.</param>
/// <param name="Channel">How it is told.</param>
/// <param name="Url">Address of the webhook.</param>
/// <param name="Email">Mail address.</param>
/// <param name="Events">Event types; empty for every type.</param>
/// <param name="YardIds">Its yards; empty for every yard.</param>
/// <param name="PersonId">The person who reads it.</param>
/// <param name="ConfirmedAt">When the mail address was confirmed; nothing but the question is sent there before.</param>
/// <param name="OldSecretUntil">Until when the secret before the last rotation signs too.</param>
/// <param name="LastDeliveredAt">When the webhook last took something.</param>
/// <param name="RestingUntil">Until when a webhook that takes nothing is left alone.</param>
/// <param name="GoneAt">When the webhook answered 410: nothing is sent there until somebody changes, tests or retries.</param>
/// <param name="EndedAt">When it was ended.</param>
/// <param name="CreatedAt">When it was made.</param>
public sealed record SubscriptionAnswer(
    string Id, SubscriptionChannel Channel, string? Url, string? Email, IReadOnlyList<string> Events, IReadOnlyList<string> YardIds,
    string? PersonId, string? ConfirmedAt, string? OldSecretUntil, string? LastDeliveredAt, string? RestingUntil, string? GoneAt,
    string? EndedAt, string CreatedAt)
{
    public static SubscriptionAnswer Of(SubscriptionRow row, DateTimeOffset now) => new(
        row.Id, Words.Read<SubscriptionChannel>(row.Channel), row.Url, row.Email, Json.Read<string[]>(row.Events), row.YardIds, row.PersonId,
        row.ConfirmedAt, Later(row.OldSecretUntil, now), row.SucceededAt, Later(row.LaneRestingUntil, now), row.GoneAt,
        row.EndedAt, row.CreatedAt);

    private static string? Later(string? text, DateTimeOffset now) => string.IsNullOrEmpty(text) || Instants.Read(text) <= now ? null : text;
}

/// <summary>A subscription that was made or whose secret is new; the secret is shown this once.</summary>
/// <param name="Id">Id.</param>
/// <param name="Secret">Verifies the signatures; null for a mail address, and where an answer is repeated, because it is not kept in clear.</param>
/// <param name="Note">What to do now.</param>
/// <param name="Subscription">The rest.</param>
public sealed record NewSubscriptionAnswer(string Id, string? Secret, string Note, SubscriptionAnswer Subscription)
{
    public NewSubscriptionAnswer WithoutSecret() =>
        Secret is null ? this : this with { Secret = null, Note = "This repeats an earlier answer; the secret was shown then. Rotate it if it is lost." };
}
