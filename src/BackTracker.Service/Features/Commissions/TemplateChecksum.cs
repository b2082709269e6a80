using System.Security.Cryptography;
using System.Text;

namespace BackTracker.Service.Features.Commissions;

/// <summary>By what a template that was sent is known again.</summary>
internal static class TemplateChecksum
{
    /// <summary>SHA-256 of its text as stored, hexadecimal.</summary>
    public static string Of(string body) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(body)));
}
