using System.Net;
using System.Net.Security;
using System.Security.Authentication;
using BackTracker.Storage;
using Microsoft.AspNetCore.HttpOverrides;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.AspNetCore.Server.Kestrel.Https;

namespace BackTracker.Service.Hosting;

/// <summary>Where the service listens, and how keys stay private on the way.</summary>
internal sealed record Transport
{
    /// <summary>The address it listens at.</summary>
    public IPAddress Address { get; init; } = IPAddress.Loopback;

    /// <summary>The certificate it shows; null for plain HTTP.</summary>
    public CertificateFiles? Certificate { get; init; }

    /// <summary>Proxies whose word on who asks, how and for which name is believed.</summary>
    public IReadOnlyList<System.Net.IPNetwork> Proxies { get; init; } = [];

    /// <exception cref="StorageException">Keys would travel in the clear.</exception>
    public void Check()
    {
        if (!IPAddress.IsLoopback(Address) && Certificate is null && Proxies.Count == 0)
            throw new StorageException($"Listening at {Address} would send keys in the clear: name a certificate (--certificate FILE) or the proxy that has one (--behind-proxy ADDRESS).");
    }

    public void Listen(KestrelServerOptions kestrel, int port) => kestrel.Listen(Address, port, listen =>
    {
        if (Certificate is { } certificate)
            listen.UseHttps(new TlsHandshakeCallbackOptions { OnConnection = _ => ValueTask.FromResult(Handshake(certificate)) });
    });

    /// <summary>Believes the named proxies and nobody else.</summary>
    public void UseProxies(WebApplication app)
    {
        if (Proxies.Count == 0)
            return;
        var options = new ForwardedHeadersOptions
        {
            ForwardedHeaders = ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto | ForwardedHeaders.XForwardedHost,
            ForwardLimit = null, // One proxy may stand behind another, as long as each is named.
        };
        options.KnownProxies.Clear();
        options.KnownIPNetworks.Clear();
        foreach (var proxy in Proxies)
            options.KnownIPNetworks.Add(proxy);
        app.UseForwardedHeaders(options);
    }

    private static SslServerAuthenticationOptions Handshake(CertificateFiles certificate) => new()
    {
        ServerCertificateContext = certificate.Current(),
        EnabledSslProtocols = SslProtocols.Tls12 | SslProtocols.Tls13,
        ApplicationProtocols = [SslApplicationProtocol.Http2, SslApplicationProtocol.Http11],
    };
}
