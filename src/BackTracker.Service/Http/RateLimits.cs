using System.Globalization;
using System.Net;
using System.Net.Sockets;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Http;

/// <summary>How often a key may ask, and how often an address may try without a valid one. A valid key is never held up by what others try from its address.</summary>
internal sealed partial class RateLimits(LimitSettings settings, TimeProvider clock, ILogger<RateLimits> log)
{
    private const int PrintLength = 12;
    private const int Ipv6NetworkBytes = 8;
    private readonly Quota<string> _keys = new(settings.RequestsPerMinute, clock);
    private readonly Quota<IPAddress> _addresses = new(settings.FailedTriesPerMinute, clock);
    private readonly RateFields _ofKeys = new("key", settings.RequestsPerMinute);
    private readonly RateFields _ofAddresses = new("address", settings.FailedTriesPerMinute);

    /// <summary>Counts a request of a key, and says in its answer what is left.</summary>
    /// <exception cref="ProblemException">It has asked too often.</exception>
    public void CountRequest(HttpContext http, string keyId)
    {
        var allowance = _keys.Take(keyId);
        _ofKeys.Set(http.Response, allowance);
        if (!allowance.Granted)
            throw Exceeded(http, allowance, $"This key has made its {_keys.PerMinute} requests of a minute.");
    }

    /// <summary>Counts a try with a secret that opens nothing, or with none; told in the log as long as the address may try at all.</summary>
    /// <exception cref="ProblemException">There were too many from this address.</exception>
    public void CountFailedTry(HttpContext http, string secret)
    {
        var address = http.Connection.RemoteIpAddress ?? IPAddress.None;
        var allowance = _addresses.Take(Network(address));
        _ofAddresses.Set(http.Response, allowance);
        if (!allowance.Granted)
            throw Exceeded(http, allowance, "Too many tries without a valid key came from this address.");
        LogRefused(address, secret.Length == 0 ? "none" : WebSecret.Hash(secret.Trim())[..PrintLength]);
        if (allowance.Left == 0)
            LogSilent(address, allowance.Seconds);
    }

    /// <summary>Tells the log who has signed in to the pages.</summary>
    public void NoteSignedIn(HttpContext http, string keyId) => LogSignedIn(keyId, http.Connection.RemoteIpAddress ?? IPAddress.None);

    private static ProblemException Exceeded(HttpContext http, Allowance allowance, string what)
    {
        http.Response.Headers.RetryAfter = allowance.Seconds.ToString(CultureInfo.InvariantCulture);
        return new ProblemException(ProblemKind.QuotaExceeded, $"{what} Try again in {allowance.Seconds} s; the field RateLimit of every answer says how many are left.");
    }

    // Whoever has one address of IPv6 has all of its network.
    private static IPAddress Network(IPAddress address)
    {
        if (address.IsIPv4MappedToIPv6)
            return address.MapToIPv4();
        if (address.AddressFamily != AddressFamily.InterNetworkV6)
            return address;
        var bytes = address.GetAddressBytes();
        bytes.AsSpan(Ipv6NetworkBytes).Clear();
        return new IPAddress(bytes);
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "A secret that opens nothing was tried from {Address}; its SHA-256 begins {Print}")]
    private partial void LogRefused(IPAddress address, string print);

    [LoggerMessage(Level = LogLevel.Information, Message = "Key {KeyId} signed in from {Address}")]
    private partial void LogSignedIn(string keyId, IPAddress address);

    [LoggerMessage(Level = LogLevel.Warning, Message = "Further tries from {Address} are refused for {Seconds} s without a word here")]
    private partial void LogSilent(IPAddress address, int seconds);
}

/// <summary>The fields RateLimit-Policy and RateLimit of draft-ietf-httpapi-ratelimit-headers: structured fields that hold one policy.</summary>
/// <param name="name">Name of the policy.</param>
/// <param name="perMinute">Its quota.</param>
internal sealed class RateFields(string name, int perMinute)
{
    public const string Policy = "RateLimit-Policy";
    public const string State = "RateLimit";
    private readonly string _policy = string.Create(CultureInfo.InvariantCulture, $"\"{name}\";q={perMinute};w={Quota<string>.Seconds}");

    public void Set(HttpResponse response, Allowance allowance)
    {
        response.Headers[Policy] = _policy;
        response.Headers[State] = string.Create(CultureInfo.InvariantCulture, $"\"{name}\";r={allowance.Left};t={allowance.Seconds}");
    }
}
