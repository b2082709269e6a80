using System.Buffers.Binary;
using System.Security.Cryptography;

namespace BackTracker.Storage;

/// <summary>UUID version 7 (RFC 9562) with the counter of its section 6.2 method 1, so that ids of one process sort in the order they were made.</summary>
public static class Ids
{
    private static readonly Lock Gate = new();
    private static long s_lastMilliseconds;
    private static int s_counter;

    /// <summary>A new id as lower-case text.</summary>
    public static string New(DateTimeOffset now)
    {
        long milliseconds;
        int counter;
        lock (Gate)
        {
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
        Span<byte> bytes = stackalloc byte[16];
        RandomNumberGenerator.Fill(bytes[8..]);
        BinaryPrimitives.WriteInt64BigEndian(bytes, (milliseconds << 16) | 0x7000L | (long)counter);
        bytes[8] = (byte)((bytes[8] & 0x3F) | 0x80);
        return new Guid(bytes, bigEndian: true).ToString();
    }

    /// <summary>The id as stored, or null where the text is not a UUID.</summary>
    public static string? Canonical(string? text) =>
        Guid.TryParseExact(text, "D", out var guid) ? guid.ToString() : null;
}
