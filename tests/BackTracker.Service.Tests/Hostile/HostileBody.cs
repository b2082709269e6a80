using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>What is done to a body after it was written as JSON.</summary>
internal enum Twist
{
    None,
    CutShort,
    Trailing,
    Doubled,
    MemberTwice,
    ByteOrderMark,
    Comment,
    InvalidUtf8,
    Utf16,
    Nested,
    Unclosed,
    Empty,
    NoJson,
}

/// <summary>A body: JSON, in which some texts stand for tokens that no writer would write, and what is done to its bytes.</summary>
internal sealed record HostileBody(JsonNode? Json, Twist Twist)
{
    private const string Begin = "%raw:";
    private const string End = ":raw%";

    /// <summary>Stands within a text for half of a surrogate pair.</summary>
    public const string Half = "%half%";

    private static readonly JsonSerializerOptions Plain = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping, MaxDepth = 2000 };

    /// <summary>Stands for a token exactly as it is written.</summary>
    public static JsonNode Raw(string token) => Begin + token + End;

    public string Text => (Json is null ? "null" : Json.ToJsonString(Plain))
        .Replace("\"" + Begin, "", StringComparison.Ordinal).Replace(End + "\"", "", StringComparison.Ordinal).Replace(Half, "\\ud800", StringComparison.Ordinal);

    public byte[] Bytes => Twist switch
    {
        Twist.None => Encoding.UTF8.GetBytes(Text),
        Twist.CutShort => Encoding.UTF8.GetBytes(Text)[..(Encoding.UTF8.GetByteCount(Text) / 2)],
        Twist.Trailing => Encoding.UTF8.GetBytes(Text + "]}"),
        Twist.Doubled => Encoding.UTF8.GetBytes(Text + Text),
        Twist.MemberTwice => Encoding.UTF8.GetBytes(Text.StartsWith('{') ? "{\"name\":\"a\",\"name\":\"b\"," + Text[1..] : Text),
        Twist.ByteOrderMark => [0xef, 0xbb, 0xbf, .. Encoding.UTF8.GetBytes(Text)],
        Twist.Comment => Encoding.UTF8.GetBytes("/* */" + Text),
        Twist.InvalidUtf8 => [.. Encoding.UTF8.GetBytes(Text)[..^1], 0xff, 0xfe, 0xc0, 0x80],
        Twist.Utf16 => Encoding.Unicode.GetBytes(Text),
        Twist.Nested => Encoding.UTF8.GetBytes(new string('[', 3000) + new string(']', 3000)),
        Twist.Unclosed => Encoding.UTF8.GetBytes("{\"a\":" + new string('[', 3000)),
        Twist.Empty => [],
        _ => "<x/>"u8.ToArray(),
    };
}
