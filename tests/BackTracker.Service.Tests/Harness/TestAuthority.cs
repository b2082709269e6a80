using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A certificate authority of a test's own, and clients that trust nobody else.</summary>
internal sealed class TestAuthority : IDisposable
{
    private readonly RSA _key = RSA.Create(2048);
    private readonly X509Certificate2 _root;

    public TestAuthority()
    {
        var request = new CertificateRequest("CN=Larkfield test authority", _key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        _root = request.CreateSelfSigned(DateTimeOffset.UtcNow.AddDays(-30), DateTimeOffset.UtcNow.AddDays(30));
    }

    /// <summary>A certificate with its key for this machine.</summary>
    public X509Certificate2 Issue(int endsInDays = 1)
    {
        using var key = RSA.Create(2048);
        var request = new CertificateRequest("CN=127.0.0.1", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        var names = new SubjectAlternativeNameBuilder();
        names.AddIpAddress(System.Net.IPAddress.Loopback);
        request.CertificateExtensions.Add(names.Build());
        using var signed = request.Create(_root, DateTimeOffset.UtcNow.AddDays(-10), DateTimeOffset.UtcNow.AddDays(endsInDays), RandomNumberGenerator.GetBytes(8));
        return signed.CopyWithPrivateKey(key);
    }

    /// <summary>Writes a certificate and its key as PEM; returns the options that name them.</summary>
    public async Task<string[]> WriteAsync(string folder, X509Certificate2 certificate)
    {
        var (file, keyFile) = (Path.Combine(folder, "tls.pem"), Path.Combine(folder, "tls.key"));
        await File.WriteAllTextAsync(keyFile, certificate.GetRSAPrivateKey()!.ExportPkcs8PrivateKeyPem(), TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(file, certificate.ExportCertificatePem() + "\n" + _root.ExportCertificatePem(), TestContext.Current.CancellationToken);
        return ["--certificate", file, "--certificate-key", keyFile];
    }

    public SslClientAuthenticationOptions Trust() => new()
    {
        TargetHost = "127.0.0.1",
        CertificateChainPolicy = new X509ChainPolicy { TrustMode = X509ChainTrustMode.CustomRootTrust, CustomTrustStore = { _root }, RevocationMode = X509RevocationMode.NoCheck },
    };

    public HttpClient Client(string address) => new(new SocketsHttpHandler { SslOptions = Trust() }) { BaseAddress = new Uri(address) };

    public void Dispose()
    {
        _root.Dispose();
        _key.Dispose();
    }
}
