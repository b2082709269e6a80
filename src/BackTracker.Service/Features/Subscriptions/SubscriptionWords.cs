using BackTracker.Engine.Alerts;
using BackTracker.Service.Http;
using BackTracker.Storage;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>Subscriptions and what they send, as people say it.</summary>
internal static class SubscriptionWords
{
    /// <summary>Every kind of news with its words.</summary>
    public static IReadOnlyList<(string Value, string Text)> Kinds { get; } =
    [
        (EventTypes.ObservationVetFirst, "A vet has to look first"),
        (EventTypes.FitOutOfTolerance, "A saddle is out of tolerance"),
        (EventTypes.FitRestored, "It fits again, or was looked at"),
        (EventTypes.CheckOpened, "A check is wanted"),
        (EventTypes.CheckMoved, "A check moved, or a booking fell through"),
        (EventTypes.CheckBooked, "Somebody is booked"),
        (EventTypes.CheckDue, "The day of a check has come (webhooks)"),
        (EventTypes.CheckOverdue, "A check is overdue"),
        (EventTypes.CheckClosed, "A check is closed"),
        (EventTypes.MeasurementRecorded, "A back was measured (webhooks)"),
        (EventTypes.MeasurementRepeatAdvised, "A measurement had better be taken again (webhooks)"),
        (EventTypes.CommissionAtRisk, "A saddle being made will hardly fit (webhooks)"),
    ];

    public static string Name(SubscriptionAnswer subscription) => subscription.Url is { } url ? $"Webhook, {url}" : $"Letters to {subscription.Email}";

    /// <summary>How it stands, in a sentence.</summary>
    public static string Standing(SubscriptionAnswer subscription) => subscription switch
    {
        { EndedAt: { } ended } => $"Ended {Day(ended)}.",
        { Email: not null, ConfirmedAt: null } => "Waits until the link in its first letter was opened: until then nothing else is sent.",
        { GoneAt: { } gone } => $"The receiver said on {Day(gone)} that it is gone: nothing is sent until it is tested or something is tried again.",
        { RestingUntil: not null } => "The receiver takes nothing at present: it is left alone for a while and then tried again.",
        { LastDeliveredAt: { } last } => $"Last taken {Day(last)}.",
        { Url: not null } => "Nothing was sent yet.",
        _ => "Letters go there.",
    };

    /// <summary>Of what it tells.</summary>
    public static string Told(SubscriptionAnswer subscription) => subscription.Events.Count == 0
        ? "Told of everything."
        : $"Told where: {string.Join("; ", subscription.Events.Select(Kind))}.";

    public static SentLine Line(string subscriptionId, DeliveryAnswer delivery) => new(
        delivery.Id, Kind(delivery.Type), Engine.Words.Sentence(Words.Write(delivery.State)),
        More(delivery.CreatedAt, delivery.Attempts, delivery.LastError, delivery.NextTryAt),
        delivery.State == DeliveryState.Delivered ? null : $"/subscriptions/{subscriptionId}/delivery-{delivery.Id}");

    public static SentLine Line(string subscriptionId, MessageAnswer letter) => new(
        letter.Id, Occasion(letter.Occasion), Engine.Words.Sentence(Words.Write(letter.State)),
        More(letter.CreatedAt, letter.Attempts, letter.LastError, letter.NextAt),
        letter.State == MessageState.Sent ? null : $"/subscriptions/{subscriptionId}/message-{letter.Id}");

    private static string Occasion(MessageOccasion occasion) => occasion switch
    {
        MessageOccasion.AtOnce => "What could not wait",
        MessageOccasion.Digest => "The day's news of a yard",
        MessageOccasion.Week => "A fitter's week",
        _ => "The question whether the address wants letters",
    };

    private static string Kind(string type) =>
        type == EventTypes.SubscriptionTest ? "A test" : Kinds.FirstOrDefault(kind => kind.Value == type).Text?.Replace(" (webhooks)", "", StringComparison.Ordinal) ?? type;

    private static string More(string written, long attempts, string? error, string? next) => string.Join(" ", new[]
    {
        $"Written {Time(written)}.",
        attempts == 0 ? "" : attempts == 1 ? "Tried once." : $"Tried {attempts} times.",
        error is null ? "" : $"Last: {error}",
        next is null ? "" : $"Next try {Time(next)}.",
    }.Where(words => words.Length > 0));

    private static string Day(string instant) => Engine.Words.Day(DateOnly.FromDateTime(Instants.Read(instant).UtcDateTime));

    private static string Time(string instant) => Instants.Read(instant).UtcDateTime.ToString("d MMMM yyyy, HH:mm 'UTC'", System.Globalization.CultureInfo.InvariantCulture);
}
