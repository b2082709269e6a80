using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Simulation;

/// <summary>
/// Random draws named by a seed and a key, and the same on every machine and in every order of asking: a horse reads the same on a day whoever measures it
/// for whatever reason, so that ways of working are compared on the same luck.
/// </summary>
internal sealed class Draws
{
    private const double Unit = 1.0 / (1UL << 53);
    private SplitMix64 bits;

    private Draws(ulong state) => bits = new SplitMix64(state);

    /// <summary>The draws of a key; every part of it makes another sequence.</summary>
    public static Draws Of(int seed, params ReadOnlySpan<int> key)
    {
        var state = SplitMix64.Mixed((uint)seed);
        foreach (var part in key)
            state = SplitMix64.Mixed(state + (uint)part + 1);
        return new Draws(state);
    }

    /// <summary>Even over 0 to 1, neither end among them.</summary>
    public double Share() => ((bits.Next() >> 11) + .5) * Unit;

    /// <summary>Even over a range.</summary>
    public double In(Range range) => double.Lerp(range.Low, range.High, Share());

    /// <summary>True with a probability.</summary>
    public bool Happens(double probability) => Share() < probability;

    /// <summary>A whole number from 0 to one less than <paramref name="count"/>.</summary>
    public int Below(int count) => (int)(Share() * count);

    /// <summary>Normal around 0.</summary>
    public double Off(double sd) => sd * Normal.Quantile(Share());

    /// <summary>Gamma of shape 4: the sum of four waiting times.</summary>
    public double WaitOfFour(double mean) => -mean / 4 * Math.Log(Share() * Share() * Share() * Share());
}

/// <summary>A range of numbers.</summary>
/// <param name="Low">Lower end.</param>
/// <param name="High">Upper end.</param>
internal readonly record struct Range(double Low, double High);
