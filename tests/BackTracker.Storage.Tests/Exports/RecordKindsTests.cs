using BackTracker.Storage.Backup;
using BackTracker.Storage.Exports;

namespace BackTracker.Storage.Tests.Exports;

public sealed class RecordKindsTests
{
    /// <summary>What belongs to a service and not to a yard: who may enter, who is told, what is on its way, what was noted of it.</summary>
    private static readonly string[] StaysHere =
    [
        "settings", "api_keys", "api_key_yards", "work_queue", "idempotency", "audit", "imports", "protection_keys", "subscriptions", "subscription_yards",
        "messages", "calendar_tokens", "alert_decisions", "outbox", "deliveries", "priors",
    ];

    [Fact]
    public void All_holdsEveryTable_butThoseThatStay() =>
        Assert.Equal(StoreTables.InOrder.Order(), RecordKinds.All.Select(kind => kind.Table).Concat(StaysHere).Distinct().Order());
}
