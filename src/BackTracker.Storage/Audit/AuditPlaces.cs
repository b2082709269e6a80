namespace BackTracker.Storage.Audit;

/// <summary>In which yard the things are that can be changed.</summary>
public static class AuditPlaces
{
    private static readonly Dictionary<string, string> YardOf = new()
    {
        ["yard"] = "@id",
        ["other-yard"] = "@id",
        ["yard-policy"] = "@id",
        ["horse"] = "(select yard_id from horses where id = @id)",
        ["move"] = "(select from_yard_id from moves where id = @id)",
        ["phase"] = OfHorse("phases"),
        ["event"] = OfHorse("events"),
        ["ride"] = OfHorse("rides"),
        ["measurement"] = OfHorse("measurements"),
        ["observation"] = OfHorse("observations"),
        ["pairing"] = OfHorse("pairings"),
        ["pairing-policy"] = OfHorse("pairings"),
        ["assessment"] = OfHorse("assessments"),
        ["check"] = OfHorse("checks"),
        ["check-step"] = "(select h.yard_id from check_history x join checks c on c.id = x.check_id join horses h on h.id = c.horse_id where x.id = @id)",
        ["saddle"] = "(select yard_id from saddles where id = @id)",
        ["tree-shape"] = OfSaddle("tree_shapes"),
        ["adjustment"] = OfSaddle("adjustments"),
        ["commission"] = OfHorse("commissions"),
        ["commission-step"] = OfCommission("commission_steps"),
        ["commission-template"] = OfCommission("commission_templates"),
        ["commission-trial"] = OfCommission("commission_trials"),
        ["commission-clearance"] = OfCommission("commission_clearances"),
        ["visit"] = "(select yard_id from visits where id = @id)",
        ["alert"] = "(select yard_id from alerts where id = @id)",
        ["alert-step"] = "(select a.yard_id from alert_steps x join alerts a on a.id = x.alert_id where x.id = @id)",
        ["quiet-period"] = "(select yard_id from quiet_periods where id = @id)",
        // Of several yards, or of all of them.
        ["person"] = "null",
        ["calendar"] = "null",
        ["key"] = "null",
        ["subscription"] = "null",
        ["delivery"] = "null",
        ["message"] = "null",
        ["priors"] = "null",
    };

    /// <summary>Every kind of thing that is noted, as the word under which it is.</summary>
    public static IReadOnlyCollection<string> Resources => YardOf.Keys;

    /// <summary>An expression for the yard of a thing.</summary>
    /// <param name="resource">What kind of thing.</param>
    /// <param name="id">Expression for its id.</param>
    internal static string YardSql(string resource, string id) => YardOf.TryGetValue(resource, out var sql)
        ? sql.Replace("@id", id, StringComparison.Ordinal)
        : throw new InvalidOperationException($"Where is a {resource}? Say so in {nameof(AuditPlaces)}.");

    private static string OfHorse(string table) => $"(select h.yard_id from {table} x join horses h on h.id = x.horse_id where x.id = @id)";

    private static string OfCommission(string table) =>
        $"(select h.yard_id from {table} x join commissions k on k.id = x.commission_id join horses h on h.id = k.horse_id where x.id = @id)";

    private static string OfSaddle(string table) => $"(select s.yard_id from {table} x join saddles s on s.id = x.saddle_id where x.id = @id)";
}
