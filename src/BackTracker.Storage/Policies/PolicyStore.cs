using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Policies;

/// <summary>Settings that a yard or a pairing has of its own.</summary>
public sealed record PolicyRow
{
    /// <summary>The yard or the pairing.</summary>
    public string OwnerId { get; init; } = "";

    /// <summary>Values by name of the setting, as JSON.</summary>
    public string Settings { get; init; } = "{}";

    /// <summary>Version that was read; 0 where nothing was set yet.</summary>
    public long Version { get; init; }

    /// <summary>When they were changed.</summary>
    public string ChangedAt { get; init; } = "";
}

/// <summary>Settings of yards and pairings.</summary>
public static class PolicyStore
{
    private const string OfPairings =
        """
        select q.pairing_id as owner_id, q.settings, q.version, q.changed_at
        from pairing_policies q join pairings p on p.id = q.pairing_id join horses h on h.id = p.horse_id
        """;

    /// <summary>What a yard has of its own.</summary>
    public static async Task<PolicyRow> OfYardAsync(ReadSession session, string yardId) => await session.FirstAsync<PolicyRow>(
        "select yard_id as owner_id, settings, version, changed_at from yard_policies where yard_id = @yardId", new { yardId }) ?? new PolicyRow { OwnerId = yardId };

    /// <summary>What a pairing has of its own.</summary>
    public static async Task<PolicyRow> OfPairingAsync(ReadSession session, string pairingId) => await session.FirstAsync<PolicyRow>(
        $"{OfPairings} where p.id = @pairingId", new { pairingId }) ?? new PolicyRow { OwnerId = pairingId };

    /// <summary>What the pairings of a horse have of their own, those that have nothing left out.</summary>
    public static Task<IReadOnlyList<PolicyRow>> OfHorseAsync(ReadSession session, string horseId) => session.ListAsync<PolicyRow>(
        $"{OfPairings} where h.id = @horseId order by p.id", new { horseId });

    /// <summary>What the pairings of a yard's horses have of their own, those that have nothing left out.</summary>
    public static Task<IReadOnlyList<PolicyRow>> OfYardsPairingsAsync(ReadSession session, string yardId) => session.ListAsync<PolicyRow>(
        $"{OfPairings} where h.yard_id = @yardId order by p.id", new { yardId });

    /// <summary>Replaces what a yard has of its own; false when somebody was quicker.</summary>
    public static Task<bool> PutYardAsync(WriteSession session, PolicyRow row) => PutAsync(session, "yard_policies", "yard_id", row);

    /// <summary>Replaces what a pairing has of its own; false when somebody was quicker.</summary>
    public static Task<bool> PutPairingAsync(WriteSession session, PolicyRow row) => PutAsync(session, "pairing_policies", "pairing_id", row);

    private static async Task<bool> PutAsync(WriteSession session, string table, string owner, PolicyRow row) => await session.ExecuteAsync(
        $"""
        insert into {table} ({owner}, settings, version, changed_at) values (@OwnerId, @Settings, 1, @ChangedAt)
        on conflict ({owner}) do update set settings = excluded.settings, version = {table}.version + 1, changed_at = excluded.changed_at
        where {table}.version = @Version
        """, row) == 1;
}
