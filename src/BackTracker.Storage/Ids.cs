using System.Buffers.Binary;
using System.Security.Cryptography;

namespace BackTracker.Storage;

/// <summary>UUID version 7 (RFC 9562) with the counter of its section 6.2 method 1, so that ids of one process sort in the order they were made.</summary>
public static class Ids
{
    private static readonly Lock Gate = new();
    // Taken from the system a few kilobytes at a time: a call for every id takes longer than all the rest of it.
    private static readonly byte[] Chance = new byte[4096];
    private static int s_chanceUsed = Chance.Length;
    private static long s_lastMilliseconds;
    private static int s_counter;

    /// <summary>A new id as lower-case text.</summary>
    public static string New(DateTimeOffset now)
    {
        long milliseconds;
        int counter;
        Span<byte> bytes = stackalloc byte[16];
        lock (Gate)
        {
            TakeChance(bytes[8..]);
            milliseconds = Math.Max(now.ToUnixTimeMilliseconds(), s_lastMilliseconds);
            s_counter = milliseconds == s_lastMilliseconds ? s_counter + 1 : 0;
            if (s_counter > 0xFFF)
            {
                milliseconds++;
                s_counter = 0;
            }
            s_lastMilliseconds = milliseconds;
            counter = s_counter;
        }
        BinaryPrimitives.WriteInt64BigEndian(bytes, (milliseconds << 16) | 0x7000L | (long)counter);
        bytes[8] = (byte)((bytes[8] & 0x3F) | 0x80);
        return new Guid(bytes, bigEndian: true).ToString();
    }

    private static void TakeChance(Span<byte> into)
    {
        if (s_chanceUsed + into.Length > Chance.Length)
        {
            RandomNumberGenerator.Fill(Chance);
            s_chanceUsed = 0;
        }
        Chance.AsSpan(s_chanceUsed, into.Length).CopyTo(into);
        s_chanceUsed += into.Length;
    }

    /// <summary>The id as stored, or null where the text is not a UUID.</summary>
    public static string? Canonical(string? text) =>
        Guid.TryParseExact(text, "D", out var guid) ? guid.ToString() : null;
}
