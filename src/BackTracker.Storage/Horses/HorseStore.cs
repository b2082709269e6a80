using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Horses;

/// <summary>A horse.</summary>
public sealed record HorseRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The yard it stands in, or last stood in.</summary>
    public string YardId { get; init; } = "";

    /// <summary>What the yard calls it.</summary>
    public string Name { get; init; } = "";

    /// <summary>Birth date.</summary>
    public string? BornOn { get; init; }

    /// <summary>Sex, as a word.</summary>
    public string? Sex { get; init; }

    /// <summary>Breed.</summary>
    public string? Breed { get; init; }

    /// <summary>Transponder number, 15 digits.</summary>
    public string? Microchip { get; init; }

    /// <summary>Universal equine life number, 15 characters.</summary>
    public string? Ueln { get; init; }

    /// <summary>Height it is expected to reach, mm.</summary>
    public double? MatureHeightMm { get; init; }

    /// <summary>Anything else.</summary>
    public string? Notes { get; init; }

    /// <summary>Whether it is looked after, as a word.</summary>
    public string Status { get; init; } = "";

    /// <summary>IANA time zone of its yard; not a column of its own.</summary>
    public string TimeZone { get; init; } = "";

    /// <summary>Version of the row.</summary>
    public long Version { get; init; }

    /// <summary>When it was registered.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Horses.</summary>
public static class HorseStore
{
    private const string Select =
        """
        select h.id, h.yard_id, h.name, h.born_on, h.sex, h.breed, h.microchip, h.ueln, h.mature_height_mm, h.notes, h.status,
            y.time_zone, h.version, h.created_at
        from horses h join yards y on y.id = h.yard_id
        """;

    /// <summary>A horse the caller may see.</summary>
    public static Task<HorseRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<HorseRow>(
        $"{Select} where h.id = @id and {session.Sees("h.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>A horse the caller may see, by its microchip.</summary>
    public static Task<HorseRow?> FindByMicrochipAsync(ReadSession session, Sight sight, string microchip) => session.FirstAsync<HorseRow>(
        $"{Select} where h.microchip = @microchip and {session.Sees("h.yard_id", sight)}",
        new { microchip, sight.Yards });

    /// <summary>Horses the caller may see.</summary>
    /// <param name="session">Session to read with.</param>
    /// <param name="sight">What the caller sees.</param>
    /// <param name="yardId">Only those of this yard.</param>
    /// <param name="status">Only those of this status.</param>
    /// <param name="page">Which stretch.</param>
    public static async Task<Paged<HorseRow>> ListAsync(ReadSession session, Sight sight, string? yardId, string? status, Page page) => Paged<HorseRow>.From(
        await session.ListAsync<HorseRow>(
            $"""
            {Select}
            where h.id > @After and {session.Sees("h.yard_id", sight)}
                and (@yardId is null or h.yard_id = @yardId) and (@status is null or h.status = @status)
            order by h.id limit @LimitAndOne
            """, new { sight.Yards, yardId, status, page.After, page.LimitAndOne }),
        page, h => h.Id);

    /// <summary>Adds a horse.</summary>
    public static Task AddAsync(WriteSession session, HorseRow horse) => session.ExecuteAsync(
        """
        insert into horses (id, yard_id, name, born_on, sex, breed, microchip, ueln, mature_height_mm, notes, status, version, created_at)
        values (@Id, @YardId, @Name, @BornOn, @Sex, @Breed, @Microchip, @Ueln, @MatureHeightMm, @Notes, @Status, 1, @CreatedAt)
        """, horse);

    /// <summary>Changes what is known of a horse if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ChangeAsync(WriteSession session, HorseRow horse) => await session.ExecuteAsync(
        """
        update horses set name = @Name, born_on = @BornOn, sex = @Sex, breed = @Breed, microchip = @Microchip, ueln = @Ueln,
            mature_height_mm = @MatureHeightMm, notes = @Notes, version = version + 1
        where id = @Id and version = @Version
        """, horse) == 1;

    /// <summary>Puts a horse where its row says, if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> PlaceAsync(WriteSession session, HorseRow horse) => await session.ExecuteAsync(
        "update horses set yard_id = @YardId, status = @Status, version = version + 1 where id = @Id and version = @Version", horse) == 1;

    /// <summary>Other horses, of whatever yard, that carry the same microchip or UELN. Only the numbers are read, so that nothing else can be told.</summary>
    public static Task<IReadOnlyList<HorseRow>> SameNumbersAsync(ReadSession session, HorseRow horse) => session.ListAsync<HorseRow>(
        "select microchip, ueln from horses where id <> @Id and (microchip = @Microchip or ueln = @Ueln)", horse);
}
