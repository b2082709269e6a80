using BackTracker.Engine.Advice;
using Microsoft.Extensions.Caching.Memory;

namespace BackTracker.Service.Features.Fit;

/// <summary>
/// Advice that was searched for, kept in memory while nothing it rests on has changed: a search tries some hundred panels, and a saddle is looked at
/// more often than its horse is measured.
/// </summary>
internal sealed class KeptAdvice : IDisposable
{
    /// <summary>Pairings whose advice is kept at most; some KiB each.</summary>
    private const int Most = 2000;

    private readonly MemoryCache kept = new(new MemoryCacheOptions { SizeLimit = Most });

    /// <summary>The advice for a pairing as it was loaded.</summary>
    public PanelAdvice For(KnownPairing known) => kept.GetOrCreate((known.Row.Id, known.AsOf, known.Inputs.Digest()), entry =>
    {
        entry.Size = 1;
        return Adviser.Of(known.Pairing, known.Trends, known.Policy, known.AsOf);
    })!;

    public void Dispose() => kept.Dispose();
}
