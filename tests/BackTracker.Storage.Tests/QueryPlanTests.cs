using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Calendars;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Rides;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;
using BackTracker.Storage.Tests.Harness;
using BackTracker.Storage.Visits;

namespace BackTracker.Storage.Tests;

/// <summary>What is asked often finds its rows by an index, however many there are.</summary>
public sealed class QueryPlanTests
{
    private static readonly DateTimeOffset Now = new(2026, 11, 25, 9, 0, 0, TimeSpan.Zero);
    private static readonly Sight Yard = Sight.Of([Larkfield.Yard]);
    private static readonly CheckFilter Checks = new(null, null, null, null, null);
    private static readonly VisitFilter Visits = new(null, null, null, null, null);
    private static readonly AlertFilter Alerts = new(null, null, null);
    private static readonly Page First = new("", 50);

    private static readonly Dictionary<string, Func<ReadSession, Task>> Asked = new()
    {
        ["checks of a fitter"] = session => CheckStore.ListAsync(session, Sight.All, Checks with { FitterId = Larkfield.Person }, First),
        ["checks of a fitter in a yard"] = session => CheckStore.ListAsync(session, Yard, Checks with { FitterId = Larkfield.Person }, First),
        ["checks of a yard"] = session => CheckStore.ListAsync(session, Sight.All, Checks with { YardId = Larkfield.Yard, State = "open" }, First),
        ["visits of a fitter"] = session => VisitStore.ListAsync(session, Sight.All, Visits with { FitterId = Larkfield.Person }, First),
        ["visits to a yard"] = session => VisitStore.ListAsync(session, Yard, Visits with { From = "2026-11-01" }, First),
        ["bookings of a person"] = session => CalendarStore.BookingsAsync(session, Sight.All, Larkfield.Person, Now),
        ["bookings in a yard"] = session => CalendarStore.BookingsAsync(session, Yard, null, Now),
        ["calendar of a yard"] = session => CalendarStore.ChecksAsync(session, Yard, Now),
        ["visits of a person's calendar"] = session => CalendarStore.VisitsAsync(session, Sight.All, Larkfield.Person, Now),
        ["visits of a yard's calendar"] = session => CalendarStore.VisitsAsync(session, Yard, null, Now),
        ["whose calendar"] = session => CalendarStore.OwnerAsync(session, "hash", Now),
        ["who waits for the morning"] = session => AlertStore.YardsWaitingForMorningAsync(session),
        ["what to tell in a yard"] = session => AlertStore.ToTellInYardAsync(session, Larkfield.Yard),
        ["open alerts of a yard"] = session => AlertStore.OpenInYardAsync(session, Larkfield.Yard),
        ["alerts of a yard"] = session => AlertStore.ListAsync(session, Sight.All, Alerts with { YardId = Larkfield.Yard }, First),
        ["deliveries of a subscription"] = session => DeliveryStore.ListAsync(session, Larkfield.Subscription, "pending", First),
        ["next delivery"] = session => DeliveryStore.NextAsync(session, new LaneRow { Id = Larkfield.Subscription }, Now, 100),
        ["failing deliveries"] = session => DeliveryStore.FailingAsync(session, new LaneRow { Id = Larkfield.Subscription }),
        ["ways to webhooks"] = session => LaneStore.DueAsync(session, Now),
        ["letters of a subscription"] = session => MessageStore.ListAsync(session, Larkfield.Subscription, First),
        ["latest deliveries of a subscription"] = session => DeliveryStore.LatestAsync(session, Larkfield.Subscription, 50),
        ["latest letters of a subscription"] = session => MessageStore.LatestAsync(session, Larkfield.Subscription, 50),
        ["doubles of an address"] = session => SubscriptionStore.DoublesAsync(session, new SubscriptionRow { Email = "ada@example.org", Yards = Larkfield.Yard }),
        ["letters that asked an address"] = session => SubscriptionStore.AskedAsync(session, "ada@example.org", Now),
        ["rides in a saddle"] = session => RideStore.InSaddleAsync(session, "saddle", "2026-01-01", null),
    };

    public static TheoryData<string> Names => [.. Asked.Keys];

    [Theory, MemberData(nameof(Names))]
    public async Task Read_findsItsRowsByAnIndex(string name)
    {
        await using var place = await TestStore.CreateAsync(StoreKind.Sqlite);
        await using var dialect = new WatchedDialect(Path.Combine(place.Folder, "watched.db"));
        var database = new Database(dialect, new HeldClock());
        await database.PrepareAsync(TestContext.Current.CancellationToken);
        await using var session = await database.ReadAsync(TestContext.Current.CancellationToken);
        dialect.Plans.Clear();

        await Asked[name](session);

        Assert.NotEmpty(dialect.Plans);
        // Steps over a list made on the way, over the few subscriptions there are, and over those alone who wait, may take everything.
        Assert.DoesNotContain(dialect.Plans, step => step.StartsWith("SCAN", StringComparison.Ordinal)
            && !step.Contains("alerts_waiting", StringComparison.Ordinal) && step.Split(' ')[1] is not ("s" or "w" or "head" or "bookings" or "CONSTANT"));
    }

    [Theory]
    [InlineData("open alerts of a yard", "alerts_open")]
    [InlineData("what to tell in a yard", "alerts_waiting")]
    [InlineData("bookings of a person", "check_history_fitter")]
    [InlineData("checks of a fitter", "checks_fitter")]
    [InlineData("deliveries of a subscription", "deliveries_page")]
    [InlineData("next delivery", "deliveries_horse")]
    [InlineData("ways to webhooks", "deliveries_horse")]
    [InlineData("failing deliveries", "deliveries_failing")]
    [InlineData("doubles of an address", "subscriptions_email")]
    public async Task Read_usesTheIndexMadeForIt(string name, string index)
    {
        await using var place = await TestStore.CreateAsync(StoreKind.Sqlite);
        await using var dialect = new WatchedDialect(Path.Combine(place.Folder, "watched.db"));
        var database = new Database(dialect, new HeldClock());
        await database.PrepareAsync(TestContext.Current.CancellationToken);
        await using var session = await database.ReadAsync(TestContext.Current.CancellationToken);
        dialect.Plans.Clear();

        await Asked[name](session);

        Assert.Contains(dialect.Plans, step => step.Contains($"INDEX {index} ", StringComparison.Ordinal));
    }
}
