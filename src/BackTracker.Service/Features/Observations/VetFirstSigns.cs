using BackTracker.Engine.Checks;
using BackTracker.Storage.Observations;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Observations;

/// <summary>The signs that stop everything until a vet has looked.</summary>
internal static class VetFirstSigns
{
    /// <summary>Open vet-first signs of a horse, in words.</summary>
    public static async Task<IReadOnlyList<string>> OpenAsync(ReadSession session, string horseId, CheckPolicy policy) =>
        [.. (await RowsAsync(session, horseId, policy)).Select(Text)];

    /// <summary>Open vet-first signs of a horse. The rule is the engine's own.</summary>
    public static async Task<IReadOnlyList<ObservationRow>> RowsAsync(ReadSession session, string horseId, CheckPolicy policy) =>
    [
        .. (await ObservationStore.LiveOfHorseAsync(session, horseId)).Where(row => IsOpen(row, policy)),
    ];

    /// <summary>The horses of a yard with an open vet-first sign.</summary>
    public static async Task<IReadOnlySet<string>> HorsesOfYardAsync(ReadSession session, string yardId, CheckPolicy policy) =>
        (await ObservationStore.NotSeenByVetInYardAsync(session, yardId)).Where(row => IsOpen(row, policy)).Select(row => row.HorseId).ToHashSet();

    private static bool IsOpen(ObservationRow row, CheckPolicy policy) =>
        ObservationFacts.ToFact(row) is var seen && Signs.IsVetFirst(seen, policy) && !Signs.IsClosed(seen, policy);

    /// <summary>A sign in words: "heat, seen 2026-03-14".</summary>
    public static string Text(ObservationRow row) => $"{row.Kind.Replace('-', ' ')}, seen {row.ObservedOn}";
}
