using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>A yard with a horse that is told about by mail.</summary>
internal sealed class MailYard(RunningService service, Yardful yard, string subscriptionId) : IAsyncDisposable
{
    public RunningService Service => service;

    public Yardful Yard => yard;

    public string SubscriptionId => subscriptionId;

    public string Messages => $"/v1/subscriptions/{subscriptionId}/messages";

    public static async Task<MailYard> SettleAsync(Settings settings, StoreKind store = StoreKind.Sqlite, string name = "Larkfield")
    {
        var service = await RunningService.StartAsync(store, settings: settings);
        var yard = await Yardful.SettleAsync(service, name);
        return new MailYard(service, yard, await SubscribeAsync(service.Database, yard.YardId, "isla@larkfield.test"));
    }

    /// <summary>Subscribes a confirmed address to what never happens here, so that it gets the letters of the test alone, or to other events.</summary>
    public static async Task<string> SubscribeAsync(Database database, string yardId, string email, string events = """["backtracker.commission.at-risk.v1"]""", string? personId = null)
    {
        await using var session = await database.WriteAsync("test", TestContext.Current.CancellationToken);
        var row = new SubscriptionRow { Id = session.NewId(), Channel = "mail", Email = email, Events = events, PersonId = personId, CreatedAt = session.NowText, Yards = yardId };
        await SubscriptionStore.AddAsync(session, row);
        await SubscriptionStore.ConfirmAsync(session, row.Id);
        await session.CommitAsync();
        return row.Id;
    }

    /// <summary>A letter of one line about the yard's horse.</summary>
    public Letter Letter(string text = "The tree is 12 mm narrow at T13.") => new("Larkfield", yard.Today, [Line(text)], []);

    /// <summary>A line about the yard's horse and saddle.</summary>
    public LetterLine Line(string text = "The tree is 12 mm narrow at T13.") => new(
        "0199f6c2-0000-7000-8000-000000000001", AlertNews.Raised, Urgency.Now, Cause.OutNow, yard.HorseId, "Bramble", yard.PairingId, "Bramble's saddle",
        "0199f6c2-0000-7000-8000-000000000002", CheckKind.Fit, text, yard.Today, yard.Today.AddDays(3), null);

    public Task<string> WriteAsync(Letter? letter = null, string? subscription = null, string occasion = "at-once") =>
        WriteAsync(service.Database, Json.Write(letter ?? Letter()), subscription ?? subscriptionId, occasion);

    /// <summary>Puts a letter where the service finds it.</summary>
    public async Task<string> WriteAsync(Database database, string body, string subscription, string occasion)
    {
        await using var session = await database.WriteAsync("test", TestContext.Current.CancellationToken);
        var row = new MessageRow
        {
            Id = session.NewId(),
            SubscriptionId = subscription,
            YardId = occasion == "confirm" ? null : yard.YardId,
            Occasion = occasion,
            Body = body,
            NextAt = session.NowText,
            CreatedAt = session.NowText,
        };
        await MessageStore.AddAsync(session, row);
        await session.CommitAsync();
        return row.Id;
    }

    /// <summary>Where a letter stands, as the API says.</summary>
    public async Task<JsonNode> MessageAsync(string id) => (await service.Admin.GetAsync($"{Messages}?limit=500")).Should(HttpStatusCode.OK).Items.Single(m => m!["id"]!.GetValue<string>() == id)!;

    /// <summary>Waits until a letter stands as it should.</summary>
    public async Task<JsonNode> WaitAsync(string id, Func<JsonNode, bool> until)
    {
        JsonNode? message = null;
        await Eventually.TrueAsync(async () => until(message = await MessageAsync(id)), () => message!.ToJsonString());
        return message!;
    }

    public Task<JsonNode> WaitSentAsync(string id) => WaitAsync(id, message => State(message) == "sent");

    /// <summary>Waits until a letter was tried that often in vain, and is parked or to be tried later.</summary>
    public Task<JsonNode> WaitTriedAsync(string id, int tries) => WaitAsync(id, message =>
        message["attempts"]!.GetValue<int>() == tries && (State(message) == "parked" || State(message) == "pending" && message["nextAt"]!.GetValue<DateTimeOffset>() > service.Clock.GetUtcNow()));

    public static string State(JsonNode message) => message["state"]!.GetValue<string>();

    public ValueTask DisposeAsync() => service.DisposeAsync();
}
