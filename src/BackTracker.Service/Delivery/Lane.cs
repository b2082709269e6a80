using BackTracker.Service.Http;
using BackTracker.Service.Observability;
using BackTracker.Storage;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Delivery;

/// <summary>
/// Sends one webhook what waits for it, one event after another. It is claimed first, for a time that outlasts a try and is prolonged with
/// each: another instance leaves it alone meanwhile, and takes it on where this one was killed.
/// </summary>
internal sealed partial class Lane(Database database, WebhookSender sender, TimeProvider clock, ILogger<Lane> log)
{
    public static readonly TimeSpan ClaimLasts = WebhookSender.Timeout * 2;

    private const string Actor = "delivery";
    private const int MostInOneTurn = 100;

    /// <summary>Sends until nothing is due, the receiver is to be left alone, or others should have their turn.</summary>
    public async Task RunAsync(string subscriptionId, CancellationToken stopping)
    {
        var claim = Ids.New(clock.GetUtcNow());
        await using (var session = await WriteAsync())
        {
            if (!await LaneStore.ClaimAsync(session, subscriptionId, claim, session.Now + ClaimLasts))
                return;
            await session.CommitAsync();
        }
        try
        {
            for (var sent = 0; sent < MostInOneTurn && !stopping.IsCancellationRequested;)
            {
                var count = await SendNextAsync(subscriptionId, claim, MostInOneTurn - sent, stopping);
                if (count == 0)
                    break;
                sent += count;
            }
        }
        finally
        {
            await using var session = await WriteAsync();
            await LaneStore.ReleaseAsync(session, subscriptionId, claim);
            await session.CommitAsync();
        }
    }

    /// <summary>Sends what is next, until one is not taken; returns how many were tried.</summary>
    private async Task<int> SendNextAsync(string subscriptionId, string claim, int most, CancellationToken stopping)
    {
        if (await FindAsync(subscriptionId, claim) is not { } first)
            return 0;
        IReadOnlyList<DeliveryRow> due;
        await using (var session = await database.ReadAsync(CancellationToken.None))
            due = await DeliveryStore.NextAsync(session, first, clock.GetUtcNow(), most);
        var tried = 0;
        foreach (var next in due)
        {
            // It may have ended or changed its secret meanwhile.
            if (stopping.IsCancellationRequested || await FindAsync(subscriptionId, claim) is not { } lane)
                break;
            var reply = await sender.SendAsync(lane, next);
            await RecordAsync(lane, claim, next, reply);
            tried++;
            if (reply.Kind != ReplyKind.Taken)
                break; // Whether it is to be sent more is seen anew.
        }
        return tried;
    }

    private async Task<LaneRow?> FindAsync(string subscriptionId, string claim)
    {
        var now = clock.GetUtcNow();
        await using var session = await database.ReadAsync(CancellationToken.None);
        return await LaneStore.FindAsync(session, subscriptionId, claim, now, now + WebhookSender.Timeout);
    }

    private async Task RecordAsync(LaneRow lane, string claim, DeliveryRow tried, ReceiverReply reply)
    {
        Measured.Delivery(reply.Status == 0 ? "no-answer" : Words.Write(reply.Kind));
        await using var session = await WriteAsync();
        var after = RetryPlan.After(tried, reply, session.Now, Random.Shared.NextDouble());
        await DeliveryStore.RecordAsync(session, after);
        var failing = reply.Kind == ReplyKind.Taken ? 0 : await DeliveryStore.FailingAsync(session, lane);
        var left = RetryPlan.After(lane, reply, failing, session.Now, Random.Shared.NextDouble());
        await LaneStore.RecordAsync(session, left, claim, session.Now + ClaimLasts);
        if (reply.Kind == ReplyKind.Gone)
            await DeliveryStore.ParkAsync(session, lane.Id, session.Now, DeliveryStore.Gone);
        else if (left.LaneRests > lane.LaneRests)
            await DeliveryStore.ParkAsync(session, lane.Id, session.Now - RetryPlan.Lasts, $"The receiver has taken nothing for three days. Last: {reply.Error}");
        await session.CommitAsync();
        if (after.State == "parked")
            LogParked(after.Id, lane.Id, after.Attempts, reply.Status);
    }

    private Task<WriteSession> WriteAsync() => database.WriteAsync(Actor, CancellationToken.None);

    [LoggerMessage(Level = LogLevel.Warning, Message = "Delivery {DeliveryId} of subscription {SubscriptionId} is parked after {Attempts} tries; the last was answered {Status}")]
    private partial void LogParked(string deliveryId, string subscriptionId, int attempts, int status);
}
