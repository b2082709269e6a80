namespace BackTracker.Storage.Horses;

/// <summary>Whose records to list: those of one horse, of one yard's horses, or of all the caller sees.</summary>
/// <param name="HorseId">The horse; null for any.</param>
/// <param name="YardId">The yard the horse stands in; null for any.</param>
public readonly record struct HorseFilter(string? HorseId, string? YardId)
{
    internal string Asks => $"{HorseId.Asks("h.id = @HorseId")} {YardId.Asks("h.yard_id = @YardId")}";
}
