using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Pairings;

/// <summary>A horse and a saddle that is ridden on it.</summary>
public sealed record PairingRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>The saddle.</summary>
    public string SaddleId { get; init; } = "";

    /// <summary>What the yard calls the saddle; not a column of its own.</summary>
    public string SaddleLabel { get; init; } = "";

    /// <summary>Kind of the saddle's tree, as a word; not a column of its own.</summary>
    public string SaddleTree { get; init; } = "";

    /// <summary>Filling of the saddle's panel, as a word; not a column of its own.</summary>
    public string SaddleFilling { get; init; } = "";

    /// <summary>Day the saddle was made; not a column of its own.</summary>
    public string? SaddleMadeOn { get; init; }

    /// <summary>Version of the saddle; not a column of its own.</summary>
    public long SaddleVersion { get; init; }

    /// <summary>The yard the horse is in; not a column of its own.</summary>
    public string YardId { get; init; } = "";

    /// <summary>First day.</summary>
    public string FromDay { get; init; } = "";

    /// <summary>Last day.</summary>
    public string? ToDay { get; init; }

    /// <summary>Tree front behind T8, mm.</summary>
    public double? TreeFrontFromT8Mm { get; init; }

    /// <summary>Thickness of the pad, mm.</summary>
    public double? PadMm { get; init; }

    /// <summary>Weight of the rider, kg.</summary>
    public double? RiderWeightKg { get; init; }

    /// <summary>Weight of all tack, kg.</summary>
    public double? TackWeightKg { get; init; }

    /// <summary>Ridden minutes a week.</summary>
    public int? WeeklyMinutes { get; init; }

    /// <summary>Limits of its own, as JSON.</summary>
    public string? Tolerances { get; init; }

    /// <summary>Version for the ETag.</summary>
    public long Version { get; init; }

    /// <summary>When it was made.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Which pairings to list.</summary>
/// <param name="YardId">Of a yard; null for all.</param>
/// <param name="HorseId">Of a horse; null for all.</param>
/// <param name="SaddleId">Of a saddle; null for all.</param>
public sealed record PairingFilter(string? YardId, string? HorseId, string? SaddleId);

/// <summary>Pairings.</summary>
public static class PairingStore
{
    private const string Select =
        """
        select p.id, p.horse_id, p.saddle_id, s.label as saddle_label, s.tree as saddle_tree, s.filling as saddle_filling,
            s.made_on as saddle_made_on, s.version as saddle_version, h.yard_id, p.from_day, p.to_day, p.tree_front_from_t8_mm, p.pad_mm,
            p.rider_weight_kg, p.tack_weight_kg, p.weekly_minutes, p.tolerances, p.version, p.created_at
        from pairings p join horses h on h.id = p.horse_id join saddles s on s.id = p.saddle_id
        """;

    /// <summary>A pairing the caller may see.</summary>
    public static Task<PairingRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<PairingRow>(
        $"{Select} where p.id = @id and {session.Sees("h.yard_id", sight)}", new { id, sight.Yards });

    /// <summary>Pairings the caller may see, filtered.</summary>
    public static async Task<Paged<PairingRow>> ListAsync(ReadSession session, Sight sight, PairingFilter filter, Page page) => Paged<PairingRow>.From(
        await session.ListAsync<PairingRow>(
            $"""
            {Select}
            where p.id > @After and {session.Sees("h.yard_id", sight)} and (@YardId is null or h.yard_id = @YardId)
                and (@HorseId is null or p.horse_id = @HorseId) and (@SaddleId is null or p.saddle_id = @SaddleId)
            order by p.id limit @LimitAndOne
            """, new { page.After, page.LimitAndOne, sight.Yards, filter.YardId, filter.HorseId, filter.SaddleId }),
        page, p => p.Id);

    /// <summary>Every pairing of a horse.</summary>
    public static Task<IReadOnlyList<PairingRow>> OfHorseAsync(ReadSession session, string horseId) =>
        session.ListAsync<PairingRow>($"{Select} where p.horse_id = @horseId order by p.id", new { horseId });

    /// <summary>Horses a saddle is paired with on a day.</summary>
    public static Task<IReadOnlyList<string>> HorsesOnAsync(ReadSession session, string saddleId, string day) => session.ListAsync<string>(
        "select distinct horse_id from pairings where saddle_id = @saddleId and from_day <= @day and (to_day is null or to_day >= @day)",
        new { saddleId, day });

    /// <summary>Whether the same horse and saddle are paired by another pairing on some of the same days.</summary>
    public static async Task<bool> OverlapsAsync(ReadSession session, PairingRow pairing) => await session.FirstAsync<string>(
        """
        select id from pairings where horse_id = @HorseId and saddle_id = @SaddleId and id <> @Id
            and (to_day is null or to_day >= @FromDay) and (@ToDay is null or from_day <= @ToDay)
        """, pairing) is not null;

    /// <summary>Adds a pairing.</summary>
    public static Task AddAsync(WriteSession session, PairingRow pairing) => session.ExecuteAsync(
        """
        insert into pairings (id, horse_id, saddle_id, from_day, to_day, tree_front_from_t8_mm, pad_mm, rider_weight_kg, tack_weight_kg,
            weekly_minutes, tolerances, version, created_at)
        values (@Id, @HorseId, @SaddleId, @FromDay, @ToDay, @TreeFrontFromT8Mm, @PadMm, @RiderWeightKg, @TackWeightKg,
            @WeeklyMinutes, @Tolerances, 1, @CreatedAt)
        """, pairing);

    /// <summary>Ends the pairings of a horse that are in use on a day.</summary>
    public static Task<int> EndOfHorseAsync(WriteSession session, string horseId, DateOnly day) => session.ExecuteAsync(
        """
        update pairings set to_day = @day, version = version + 1
        where horse_id = @horseId and from_day <= @day and (to_day is null or to_day > @day)
        """, new { horseId, day = Instants.WriteDay(day) });

    /// <summary>Changes a pairing if it still has the version that was read; false when somebody was quicker.</summary>
    public static async Task<bool> ChangeAsync(WriteSession session, PairingRow pairing) => await session.ExecuteAsync(
        """
        update pairings set from_day = @FromDay, to_day = @ToDay, tree_front_from_t8_mm = @TreeFrontFromT8Mm, pad_mm = @PadMm,
            rider_weight_kg = @RiderWeightKg, tack_weight_kg = @TackWeightKg, weekly_minutes = @WeeklyMinutes, tolerances = @Tolerances,
            version = version + 1
        where id = @Id and version = @Version
        """, pairing) == 1;
}
