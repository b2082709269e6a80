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

/// <summary>An observation that nobody has closed.</summary>
public sealed record OpenObservationRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>What was seen.</summary>
    public string Kind { get; init; } = "";

    /// <summary>When.</summary>
    public string ObservedOn { get; init; } = "";

    /// <summary>Where along the back.</summary>
    public string? Station { get; init; }

    /// <summary>On which side.</summary>
    public string? Side { get; init; }

    /// <summary>How bad, as a word.</summary>
    public string? Severity { get; init; }

    /// <summary>Ridden-behaviour score, of 24.</summary>
    public int? Score { get; init; }

    /// <summary>In the words of who saw it.</summary>
    public string? Note { get; init; }
}

/// <summary>What the yard board reads beside checks and assessments.</summary>
public static class BoardStore
{
    /// <summary>Active horses of a yard by name.</summary>
    public static Task<IReadOnlyList<BoardHorseRow>> HorsesAsync(ReadSession session, string yardId) => session.ListAsync<BoardHorseRow>(
        """
        select h.id, h.name,
            (select max(m.measured_on) from measurements m where m.horse_id = h.id and m.voided_at is null and m.replaced_by is null) as last_measured_on
        from horses h where h.yard_id = @yardId and h.status = 'active' order by h.name, h.id
        """, new { yardId });

    /// <summary>Observations of a yard's horses that are open.</summary>
    public static Task<IReadOnlyList<OpenObservationRow>> OpenObservationsAsync(ReadSession session, string yardId) => session.ListAsync<OpenObservationRow>(
        """
        select o.id, o.horse_id, o.kind, o.observed_on, o.station, o.side, o.severity, o.score, o.note
        from observations o join horses h on h.id = o.horse_id
        where h.yard_id = @yardId and h.status = 'active' and o.outcome is null and o.voided_at is null
        order by o.observed_on, o.id
        """, new { yardId });
}
