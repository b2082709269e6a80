using BackTracker.Engine.Assessments;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>Stored phases and events as the engine takes them.</summary>
internal static class HorseHistory
{
    /// <summary>A phase; planned where it was recorded before its first day.</summary>
    public static PhaseFact ToFact(PhaseRow row) => new(
        row.Id, Instants.ReadDay(row.FromDay), Words.Read<Phase>(row.Phase),
        string.CompareOrdinal(row.CreatedAt[..10], row.FromDay) < 0 ? Occurrence.Planned : Occurrence.Happened);

    public static EventFact ToFact(EventRow row) => new(
        row.Id, Instants.ReadDay(row.OnDay), Words.Read<EventKind>(row.Kind), row.Planned == 1 ? Occurrence.Planned : Occurrence.Happened);
}
