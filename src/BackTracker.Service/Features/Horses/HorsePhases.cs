using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Horses;

/// <summary>What the phases of a horse say of today.</summary>
/// <param name="Current">The phase it is in; null where none has begun.</param>
/// <param name="Revision">Grows with every phase that is recorded, voided or begins.</param>
public sealed record HorsePhases(PhaseRow? Current, long Revision)
{
    public static async Task<HorsePhases> OfAsync(ReadSession session, HorseRow horse, DateTimeOffset now) =>
        Of(await PhaseStore.OfHorseAsync(session, horse.Id), HorseDays.Today(horse, now));

    /// <summary>Of several horses at once.</summary>
    public static async Task<Func<HorseRow, HorsePhases>> OfAsync(ReadSession session, IEnumerable<HorseRow> horses, DateTimeOffset now)
    {
        var rows = await PhaseStore.OfHorsesAsync(session, [.. horses.Select(h => h.Id)]);
        var byHorse = rows.ToLookup(p => p.HorseId);
        return horse => Of(byHorse[horse.Id], HorseDays.Today(horse, now));
    }

    /// <summary>The version of what is shown of a horse: a planned phase that begins changes the answer though nobody wrote anything.</summary>
    public long VersionOf(HorseRow horse) => horse.Version + Revision;

    private static HorsePhases Of(IEnumerable<PhaseRow> phases, DateOnly today)
    {
        var day = Instants.WriteDay(today);
        var begun = phases.Where(p => string.CompareOrdinal(p.FromDay, day) <= 0).ToList();
        return new(begun.LastOrDefault(p => p.VoidedAt is null), phases.Sum(p => p.Version) + begun.Count);
    }
}
