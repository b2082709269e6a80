using System.Net.Security;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using BackTracker.Storage;

namespace BackTracker.Service.Hosting;

/// <summary>
/// A certificate with its key, from files that somebody renews: they are looked at when somebody connects, a few seconds apart at most, and
/// read anew once they have changed. Those that cannot be read do not replace the one in use.
/// </summary>
internal sealed class CertificateFiles
{
    private const long LookEveryMs = 5000;
    private readonly Lock _one = new();
    private readonly string _certificate;
    private readonly string? _key;
    private readonly string _password;
    private SslStreamCertificateContext _current;
    private DateTime _readAt;
    private long _lookedAt = Environment.TickCount64;

    /// <exception cref="StorageException">They hold no certificate that could be shown.</exception>
    public CertificateFiles(string certificate, string? key, string password)
    {
        (_certificate, _key, _password) = (certificate, key, password);
        _readAt = ChangedAt();
        try
        {
            _current = Read();
        }
        catch (Exception error) when (error is CryptographicException or IOException or UnauthorizedAccessException)
        {
            throw new StorageException($"The certificate {certificate} cannot be used: {error.Message.ReplaceLineEndings(" ")} It is a PEM or PKCS #12 file; the key is in it or in the file that --certificate-key names, the password in the setting Certificate:Password.", error);
        }
        if (_current.TargetCertificate.NotAfter.ToUniversalTime() < TimeProvider.System.GetUtcNow())
            throw new StorageException($"The certificate {certificate} expired on {_current.TargetCertificate.NotAfter.ToUniversalTime():yyyy-MM-dd}. Renew it.");
    }

    /// <summary>Told when renewed files cannot be read.</summary>
    public event Action<Exception>? Failed;

    /// <summary>The certificate to show now.</summary>
    public SslStreamCertificateContext Current()
    {
        lock (_one)
        {
            if (Environment.TickCount64 - _lookedAt < LookEveryMs)
                return _current;
            _lookedAt = Environment.TickCount64;
            try
            {
                if (ChangedAt() is var changed && changed != _readAt)
                    (_current, _readAt) = (Read(), changed);
            }
            catch (Exception error) when (error is CryptographicException or IOException or UnauthorizedAccessException)
            {
                Failed?.Invoke(error); // Perhaps half of them are there yet: the next look tells.
            }
            return _current;
        }
    }

    private DateTime ChangedAt()
    {
        var certificate = File.GetLastWriteTimeUtc(_certificate);
        var key = _key is null ? certificate : File.GetLastWriteTimeUtc(_key);
        return certificate > key ? certificate : key;
    }

    private SslStreamCertificateContext Read()
    {
        var chain = new X509Certificate2Collection();
        if (_key is null && !IsPem())
            chain = X509CertificateLoader.LoadPkcs12CollectionFromFile(_certificate, _password);
        else
            chain.ImportFromPemFile(_certificate);
        var shown = chain.FirstOrDefault(one => one.HasPrivateKey) ?? WithKey();
        return SslStreamCertificateContext.Create(shown, chain, offline: true);
    }

    private X509Certificate2 WithKey() => _password.Length > 0
        ? X509Certificate2.CreateFromEncryptedPemFile(_certificate, _password, _key)
        : X509Certificate2.CreateFromPemFile(_certificate, _key);

    private bool IsPem()
    {
        using var file = File.OpenRead(_certificate);
        var begin = new byte[64 << 10];
        return Encoding.ASCII.GetString(begin, 0, file.ReadAtLeast(begin, begin.Length, throwOnEndOfStream: false)).Contains("-----BEGIN", StringComparison.Ordinal);
    }
}
