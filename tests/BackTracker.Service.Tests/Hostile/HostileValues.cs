using System.Text.Json.Nodes;
using CsCheck;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>What nobody should send.</summary>
internal static class HostileValues
{
    private static readonly string[] Numbers =
    [
        "1e308", "-1e308", "1e999", "-0", "-0.0", "1e-400", "4.9e-324", "9007199254740993", "12345678901234567890123456789012", "2147483647", "2147483648", "-2147483649",
        "9223372036854775808", "0.1", "-1", "0", "1.0000000000000000000001", "NaN", "Infinity", "01", "+1", ".5", "0x10",
    ];

    private static readonly string[] Days =
    [
        "0001-01-01", "9999-12-31", "2026-02-29", "2024-02-29", "2026-02-30", "2026-13-01", "0000-00-00", "1900-01-01", "2200-12-31", "1899-12-31", "2026-1-1", "20260101", "-2026-01-01",
        "0001-01-01T00:00:00Z", "9999-12-31T23:59:59.9999999-14:00", "2026-06-30T23:59:60Z", "2026-03-29T01:30:00+25:00", "1900-01-01T00:00:00+14:00", "2200-12-31T23:59:59-14:00",
        "2026-01-01T24:00:00Z", "2024-02-29T12:00:00+05:30",
    ];

    private static readonly string[] Texts =
    [
        "", " ", "\0", "a\0b", "\u0001", "\u007f", "\u0085", "\u202e", "\u2066x\u2069", "\u200f", "\ufeff", "\uffff", "\ufffd", "e\u0301", "🐴", "👩‍👩‍👧‍👦", "Ärger", "日本語", "مرحبا", HostileBody.Half, "a" + HostileBody.Half + "b",
        "NaN", "null", "true", "'", "\"", "\\", "';--", "' or 1=1 --", "%", "_", "%s%n", "${x}", "{0}", "<script>alert(1)</script>", "../../../etc/passwd", "\r\nX: y", "\n", "\t",
        "T5", "T18", "T13.width150", "T99.width-1", "t13", "-1", "1e5", "00000000-0000-0000-0000-000000000000", "http://127.0.0.1:1/", "https://[::1]/", "file:///etc/passwd", "a@b", "a@b.test",
    ];

    private static readonly string[] Paths =
    [
        "%00", "%2e%2e", "..", ".", "%ff", "%c0%af", "%F0%9F%90%B4", "null", "-1", "0", "%0d%0aX:1", ";a=b", "%3F", "%25", "%2F", "%5C", "a%20b", "~", "*", "'", "%27--", "$", "00000000-0000-0000-0000-000000000000",
        "FFFFFFFF-FFFF-FFFF-FFFF-FFFFFFFFFFFF", "%7Bid%7D", "%E2%80%AE", "%ED%A0%80", "0190a1b2-c3d4-7e5f-8a9b-0c1d2e3f4a5b", new('a', 3000),
    ];

    /// <summary>Texts as they stand in an address.</summary>
    public static readonly Gen<string> Path = Gen.OneOf(Paths);

    /// <summary>Days and instants at the edge of the calendar or beyond.</summary>
    public static readonly Gen<string> Day = Gen.OneOf(Days);

    /// <summary>Any of them as text.</summary>
    public static readonly Gen<string> Text = Gen.Frequency(
        (8, Gen.OneOf(Texts)), (3, Day), (2, Gen.OneOf(Numbers)), (2, Gen.String[Gen.Char, 0, 40].Select(Whole)), (1, Gen.Int[200, 5000].Select(n => new string('x', n))), (1, Gen.Const(new string('é', 50_000))));

    /// <summary>Values of headers: what the client's own library lets through.</summary>
    public static readonly Gen<string> Header = Text.Select(text => string.Concat(text.Where(c => c is not ('\r' or '\n' or '\0')).Take(6000)));

    /// <summary>Any of them as JSON.</summary>
    public static Gen<Func<JsonNode?>> Json { get; } = Gen.Frequency<Func<JsonNode?>>(
        (4, Gen.OneOf(Numbers).Select<string, Func<JsonNode?>>(token => () => HostileBody.Raw(token))),
        (6, Text.Select<string, Func<JsonNode?>>(text => () => text)),
        (3, Gen.OneOf<Func<JsonNode?>>(() => null, () => true, () => false, () => new JsonArray(), () => new JsonObject())),
        (1, Gen.OneOf<Func<JsonNode?>>(() => Many(1), () => Many("x"), () => Many(new JsonObject()), () => Deep(31), () => Deep(500), () => new JsonObject { [""] = 1 }, () => new JsonObject { ["__proto__"] = new JsonObject() })));

    // Half a pair has no UTF-8: it goes as an escape.
    private static string Whole(string text) => string.Concat(text.EnumerateRunes().Select(rune => rune.Value == 0xfffd ? HostileBody.Half : rune.ToString()));

    private static JsonArray Many(JsonNode element) => [.. Enumerable.Range(0, 5000).Select(_ => element.DeepClone())];

    private static JsonNode Deep(int levels)
    {
        JsonNode node = 1;
        for (var i = 0; i < levels; i++)
            node = new JsonArray(node);
        return node;
    }
}
