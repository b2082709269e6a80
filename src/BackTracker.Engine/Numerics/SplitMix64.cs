namespace BackTracker.Engine.Numerics;

/// <summary>
/// Pseudo-random numbers that no runtime changes: SplitMix64 (Steele, Lea and Flood 2014, OOPSLA; from memory). The sequence of System.Random for a
/// seed is promised by nobody.
/// </summary>
/// <param name="state">Where the sequence begins.</param>
internal struct SplitMix64(ulong state)
{
    private ulong state = state;

    /// <summary>The next 64 bits.</summary>
    public ulong Next() => Mixed(state += 0x9E3779B97F4A7C15);

    /// <summary>Every bit of a number stirred into every other.</summary>
    public static ulong Mixed(ulong bits)
    {
        bits = (bits ^ (bits >> 30)) * 0xBF58476D1CE4E5B9;
        bits = (bits ^ (bits >> 27)) * 0x94D049BB133111EB;
        return bits ^ (bits >> 31);
    }
}
