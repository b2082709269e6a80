namespace BackTracker.Storage.Backup;

/// <summary>Every table that holds something to keep, each after those it refers to. A test holds the list against the schema.</summary>
public static class StoreTables
{
    /// <summary>The tables in the order in which they can be filled.</summary>
    public static IReadOnlyList<string> InOrder { get; } =
    [
        "settings", "yards", "people", "person_yards", "api_keys", "api_key_yards",
        "horses", "moves", "phases", "events", "measurements", "observations",
        "saddles", "tree_shapes", "pairings", "rides", "yard_policies", "pairing_policies",
        "assessments", "visits", "checks", "check_history", "adjustments",
        "commissions", "commission_steps", "commission_templates", "commission_trials", "commission_clearances",
        "work_queue", "idempotency", "audit", "protection_keys", "imports",
        "subscriptions", "subscription_yards", "messages", "calendar_tokens",
        "alerts", "alert_steps", "alert_decisions", "quiet_periods",
        "outbox", "deliveries", "priors",
    ];
}
