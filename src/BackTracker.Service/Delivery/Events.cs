using System.Diagnostics;
using System.Text;
using BackTracker.Engine.Alerts;
using BackTracker.Service.Http;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;
using CloudNative.CloudEvents;
using CloudNative.CloudEvents.SystemTextJson;

namespace BackTracker.Service.Delivery;

/// <summary>Writes what happened into the outbox, as the CloudEvent that every receiver gets, byte for byte, at every try.</summary>
internal static class Events
{
    private static readonly CloudEventAttribute Sequence = CloudEventAttribute.CreateExtension("sequence", CloudEventAttributeType.String);
    private static readonly JsonEventFormatter Formatter = new(Json.Options, default);

    /// <summary>Tells of a horse. Call it after the horse was put into the work queue, as everybody does: two writers then never wait for each other.</summary>
    /// <param name="session">The transaction of what it tells of.</param>
    /// <param name="type">One of <see cref="EventTypes"/>.</param>
    /// <param name="yardId">The yard the horse is in.</param>
    /// <param name="horseId">The horse.</param>
    /// <param name="data">Ids, version, address and the few numbers that tell whether to ask for more.</param>
    public static async Task AddAsync(WriteSession session, string type, string yardId, string horseId, object data)
    {
        var place = await OutboxStore.NextSequenceAsync(session, horseId);
        await OutboxStore.AddAsync(session, OfHorse(Begin(session, type) with { YardId = yardId, HorseId = horseId, Sequence = place }, data));
    }

    /// <summary>An event of a horse whose place is known, with its body.</summary>
    private static OutboxRow OfHorse(OutboxRow happening, object data) =>
        happening with { Body = Body(happening, $"urn:backtracker:yard:{happening.YardId}", happening.HorseId!, data) };

    /// <summary>Events that differ in their id, horse, place and data alone: the body of one, cut where the others differ.</summary>
    internal sealed class Form
    {
        private const string Id = "ID-OF-THE-EVENT";
        private const string HorseId = "HORSE-OF-THE-EVENT";
        private const string Place = "PLACE-OF-THE-EVENT";
        private const string Data = "DATA-OF-THE-EVENT";
        private readonly OutboxRow _all;
        private readonly string[] _parts;

        public Form(string type, string yardId, string happenedAt)
        {
            _all = new OutboxRow { Type = type, YardId = yardId, HappenedAt = happenedAt, Traceparent = Activity.Current?.Id ?? "" };
            var body = OfHorse(_all with { Id = Id, HorseId = HorseId, Sequence = Place }, Data).Body;
            // What stands between two of them, and which of them follows.
            _parts = body.Replace($"\"{Data}\"", $"\n{Data}\n", StringComparison.Ordinal).Replace(Id, $"\n{Id}\n", StringComparison.Ordinal)
                .Replace(HorseId, $"\n{HorseId}\n", StringComparison.Ordinal).Replace(Place, $"\n{Place}\n", StringComparison.Ordinal).Split('\n');
        }

        public OutboxRow Fill(string id, string horseId, string place, string data) => _all with
        {
            Id = id,
            HorseId = horseId,
            Sequence = place,
            Body = string.Concat(_parts.Select(part => part switch { Id => id, HorseId => horseId, Place => place, Data => data, _ => part })),
        };
    }

    /// <summary>Sends one subscription a test; returns the id of its delivery.</summary>
    public static Task<string> TestAsync(WriteSession session, string subscriptionId)
    {
        var happening = Begin(session, EventTypes.SubscriptionTest);
        var data = new { SubscriptionId = subscriptionId, Link = $"/v1/subscriptions/{subscriptionId}" };
        return OutboxStore.AddForAsync(session, happening with { Body = Body(happening, "urn:backtracker:service", subscriptionId, data) }, subscriptionId);
    }

    private static OutboxRow Begin(WriteSession session, string type) =>
        new() { Id = session.NewId(), Type = type, HappenedAt = session.NowText, Traceparent = Activity.Current?.Id ?? "" };

    private static string Body(OutboxRow happening, string source, string subject, object data)
    {
        var told = new CloudEvent(CloudEventsSpecVersion.V1_0, [Sequence])
        {
            Id = happening.Id,
            Type = happening.Type,
            Source = new Uri(source),
            Subject = subject,
            Time = Storage.Instants.Read(happening.HappenedAt),
            DataContentType = "application/json",
            Data = data,
        };
        if (happening.Sequence.Length > 0)
            told[Sequence] = happening.Sequence;
        return Encoding.UTF8.GetString(Formatter.EncodeStructuredModeMessage(told, out _).Span);
    }
}
