using System.Security.Cryptography;
using BackTracker.Storage;
using BackTracker.Storage.Outbox;
using Microsoft.AspNetCore.DataProtection;

namespace BackTracker.Service.Delivery;

/// <summary>Secrets of webhooks: made here, shown once, stored encrypted.</summary>
internal sealed class WebhookSecrets(IDataProtectionProvider protection)
{
    private const string Prefix = "whsec_";
    private const int Bytes = 32;
    private readonly IDataProtector _protector = protection.CreateProtector("webhook-secrets");

    /// <summary>A new secret as its owner keeps it, and as it is stored.</summary>
    public (string Shown, string Stored) New()
    {
        var secret = Prefix + Convert.ToBase64String(RandomNumberGenerator.GetBytes(Bytes));
        return (secret, _protector.Protect(secret));
    }

    /// <summary>The keys that sign now: the present one, and for a day after a rotation the one before it.</summary>
    /// <exception cref="CryptographicException">The keys that protect secrets are not those they were stored with.</exception>
    public IReadOnlyList<byte[]> Signing(LaneRow lane, DateTimeOffset now) =>
        lane.OldSecret is { } old && Instants.Read(lane.OldSecretUntil!) > now ? [Reveal(lane.Secret), Reveal(old)] : [Reveal(lane.Secret)];

    private byte[] Reveal(string stored) => Convert.FromBase64String(_protector.Unprotect(stored)[Prefix.Length..]);
}
