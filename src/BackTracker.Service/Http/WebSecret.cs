using System.Security.Cryptography;
using System.Text;

namespace BackTracker.Service.Http;

/// <summary>Secrets of 256 random bits that can stand in an address.</summary>
internal static class WebSecret
{
    /// <summary>A new secret.</summary>
    public static string New() => Convert.ToBase64String(RandomNumberGenerator.GetBytes(32)).Replace('+', '-').Replace('/', '_').TrimEnd('=');

    /// <summary>What is stored of it: with so many random bits a plain hash is enough.</summary>
    public static string Hash(string secret) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(secret)));
}
