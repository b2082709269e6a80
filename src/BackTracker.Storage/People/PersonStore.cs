using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.People;

/// <summary>A person.</summary>
public sealed record PersonRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>Name.</summary>
    public string Name { get; init; } = "";

    /// <summary>What they do, as a word.</summary>
    public string Role { get; init; } = "";

    /// <summary>Mail address.</summary>
    public string? Email { get; init; }

    /// <summary>Days ahead they must be booked.</summary>
    public int? BookingLeadDays { get; init; }

    /// <summary>Weekdays on which they work, as a JSON list; empty where nobody said.</summary>
    public string WorkingDays { get; init; } = "[]";

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When they were registered.</summary>
    public string CreatedAt { get; init; } = "";

    /// <summary>When what is known of them was taken out; null while they are themselves.</summary>
    public string? ErasedAt { get; init; }

    /// <summary>Every yard they belong to, parted by commas, also those the caller does not see.</summary>
    public string? Yards { get; init; }

    /// <summary>Every yard they belong to, also those the caller does not see.</summary>
    public IReadOnlyList<string> YardIds => string.IsNullOrEmpty(Yards) ? [] : Yards.Split(',');
}

/// <summary>People.</summary>
public static class PersonStore
{
    private const string Select =
        """
        select p.id, p.name, p.role, p.email, p.booking_lead_days, p.working_days, p.version, p.created_at, p.erased_at,
            (select string_agg(y.yard_id, ',' order by y.yard_id) from person_yards y where y.person_id = p.id) as yards
        from people p
        """;

    /// <summary>A person of whom the caller sees at least one yard.</summary>
    public static Task<PersonRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<PersonRow>(
        $"{Select} where p.id = @id and exists (select 1 from person_yards s where s.person_id = p.id and {session.Sees("s.yard_id", sight)})",
        new { id, sight.Yards });

    /// <summary>People of whom the caller sees at least one yard.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">What the caller sees.</param>
    /// <param name="yardId">Only those of this yard.</param>
    /// <param name="role">Only those of this role.</param>
    /// <param name="page">Which stretch.</param>
    public static async Task<Paged<PersonRow>> ListAsync(ReadSession session, Sight sight, string? yardId, string? role, Page page) => Paged<PersonRow>.From(
        await session.ListAsync<PersonRow>(
            $"""
            {Select}
            where p.id > @After and (@role is null or p.role = @role) and exists (select 1 from person_yards s
                where s.person_id = p.id and {session.Sees("s.yard_id", sight)} and (@yardId is null or s.yard_id = @yardId))
            order by p.id limit @LimitAndOne
            """, new { sight.Yards, yardId, role, page.After, page.LimitAndOne }),
        page, p => p.Id);

    /// <summary>Fitters and saddlers of a yard.</summary>
    public static Task<IReadOnlyList<PersonRow>> FittersOfYardAsync(ReadSession session, string yardId) => session.ListAsync<PersonRow>(
        $"""
        {Select}
        where p.role in ('fitter', 'saddler') and p.erased_at is null and exists (select 1 from person_yards s where s.person_id = p.id and s.yard_id = @yardId)
        order by p.id
        """, new { yardId });

    /// <summary>Adds a person and the yards they belong to.</summary>
    public static async Task AddAsync(WriteSession session, PersonRow person)
    {
        await session.ExecuteAsync(
            """
            insert into people (id, name, role, email, booking_lead_days, working_days, version, created_at)
            values (@Id, @Name, @Role, @Email, @BookingLeadDays, @WorkingDays, 1, @CreatedAt)
            """, person);
        await AddYardsAsync(session, person);
    }

    /// <summary>Changes a person and their yards if the row still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ChangeAsync(WriteSession session, PersonRow person)
    {
        var changed = await session.ExecuteAsync(
            """
            update people set name = @Name, role = @Role, email = @Email, booking_lead_days = @BookingLeadDays,
                working_days = @WorkingDays, version = version + 1
            where id = @Id and version = @Version
            """, person);
        if (changed != 1)
            return false;
        await session.ExecuteAsync("delete from person_yards where person_id = @Id", person);
        await AddYardsAsync(session, person);
        return true;
    }

    private static async Task AddYardsAsync(WriteSession session, PersonRow person)
    {
        foreach (var yardId in person.YardIds)
            await session.ExecuteAsync("insert into person_yards (person_id, yard_id) values (@Id, @yardId)", new { person.Id, yardId });
    }
}
