using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Horses;

/// <summary>What tells whether anything of a horse or its measurements has changed since it was looked at.</summary>
public sealed record HorseState
{
    /// <summary>The horse.</summary>
    public string Id { get; init; } = "";

    /// <summary>Where it stands.</summary>
    public string YardId { get; init; } = "";

    /// <summary>Version of its row.</summary>
    public long Version { get; init; }

    /// <summary>How many measurements it has.</summary>
    public long Measurements { get; init; }

    /// <summary>Sum of their versions.</summary>
    public long Versions { get; init; }
}

/// <summary>States of horses.</summary>
public static class HorseStates
{
    /// <summary>The states of some horses by id.</summary>
    public static async Task<IReadOnlyDictionary<string, HorseState>> OfAsync(ReadSession session, IReadOnlyCollection<string> horseIds)
    {
        var all = new Dictionary<string, HorseState>(horseIds.Count);
        foreach (var some in horseIds.Chunk(500))
            foreach (var state in await session.ListAsync<HorseState>(
                $"""
                select h.id, h.yard_id, h.version, count(m.id) as measurements, cast(coalesce(sum(m.version), 0) as bigint) as versions
                from horses h left join measurements m on m.horse_id = h.id
                where {session.Among("h.id", "some")} group by h.id, h.yard_id, h.version
                """, new { some }))
                all[state.Id] = state;
        return all;
    }
}
