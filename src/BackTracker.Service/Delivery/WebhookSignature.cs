using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace BackTracker.Service.Delivery;

/// <summary>Signatures by the Standard Webhooks specification 1.0.0: HMAC-SHA256 of id, time and body, one for each key.</summary>
internal static class WebhookSignature
{
    /// <summary>The value of the header webhook-signature.</summary>
    /// <param name="keys">Keys that sign.</param>
    /// <param name="id">Value of webhook-id.</param>
    /// <param name="timestamp">Value of webhook-timestamp, seconds since 1970.</param>
    /// <param name="body">The bytes that are sent.</param>
    public static string Of(IReadOnlyList<byte[]> keys, string id, long timestamp, ReadOnlySpan<byte> body)
    {
        byte[] signed = [.. Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{id}.{timestamp}.")), .. body];
        return string.Join(' ', keys.Select(key => "v1," + Convert.ToBase64String(HMACSHA256.HashData(key, signed))));
    }
}
