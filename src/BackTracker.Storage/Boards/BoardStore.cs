using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Boards;

/// <summary>A horse as the board lists it.</summary>
public sealed record BoardHorseRow
{
    /// <summary>The horse.</summary>
    public string Id { get; init; } = "";

    /// <summary>What the yard calls it.</summary>
    public string Name { get; init; } = "";

    /// <summary>Day of the last measurement that counts; null where there is none.</summary>
    public string? LastMeasuredOn { get; init; }
}

/// <summary>What the yard board reads beside checks, assessments and observations.</summary>
public static class BoardStore
{
    /// <summary>Active horses of a yard by name.</summary>
    public static Task<IReadOnlyList<BoardHorseRow>> HorsesAsync(ReadSession session, string yardId) => session.ListAsync<BoardHorseRow>(
        """
        select h.id, h.name,
            (select max(m.measured_on) from measurements m where m.horse_id = h.id and m.voided_at is null and m.replaced_by is null) as last_measured_on
        from horses h where h.yard_id = @yardId and h.status = 'active' order by h.name, h.id
        """, new { yardId });
}
