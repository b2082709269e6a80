using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A certificate that nobody trusts.</summary>
internal static class SelfSigned
{
    public static X509Certificate2 Certificate(string name = "127.0.0.1")
    {
        using var key = RSA.Create(2048);
        var request = new CertificateRequest($"CN={name}", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        return request.CreateSelfSigned(DateTimeOffset.UtcNow.AddDays(-1), DateTimeOffset.UtcNow.AddDays(1));
    }
}
