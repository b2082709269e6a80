using System.CommandLine;
using System.Net;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Commands;

/// <summary>The options that say where the service listens and how keys stay private on the way.</summary>
internal sealed class TransportOptions
{
    private readonly Option<string> _listen = new("--listen")
    {
        Description = "Address to listen at. Another one than this machine's own needs a certificate, or a proxy that has one.",
        HelpName = "ADDRESS",
        DefaultValueFactory = _ => "127.0.0.1",
    };

    private readonly Option<string?> _certificate = new("--certificate")
    {
        Description = "Certificate to serve https with: PEM with its chain, or PKCS #12. Read anew once it is renewed.",
        HelpName = "FILE",
    };

    private readonly Option<string?> _certificateKey = new("--certificate-key")
    {
        Description = "Private key of the certificate, PEM, where it lies in a file of its own.",
        HelpName = "FILE",
    };

    private readonly Option<string?> _behindProxy = new("--behind-proxy")
    {
        Description = "Proxies in front, parted by commas: addresses, or networks like 10.1.0.0/24. Their X-Forwarded-For, -Proto and -Host are believed, and nobody else's.",
        HelpName = "ADDRESS,...",
    };

    public void AddTo(Command command)
    {
        command.Add(_listen);
        command.Add(_certificate);
        command.Add(_certificateKey);
        command.Add(_behindProxy);
    }

    /// <exception cref="CommandException">An address is none.</exception>
    public Transport Read(ParseResult parsed, Settings settings)
    {
        var (certificate, key) = (parsed.GetValue(_certificate), parsed.GetValue(_certificateKey));
        if (certificate is null && key is not null)
            throw new CommandException("--certificate-key says whose key it is by --certificate: name both.");
        var transport = new Transport
        {
            Address = Address(parsed.GetRequiredValue(_listen)),
            Certificate = certificate is null ? null : new CertificateFiles(certificate, key, settings.Certificate.Password),
            Proxies = [.. (parsed.GetValue(_behindProxy) ?? "").Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(Network)],
        };
        transport.Check();
        return transport;
    }

    private static IPAddress Address(string text) =>
        text == "localhost" ? IPAddress.Loopback
        : IPAddress.TryParse(text, out var address) ? address
        : throw new CommandException($"--listen {text} is no address: use one of this machine, such as 192.168.1.7, or 0.0.0.0 for all of them.");

    private static IPNetwork Network(string text) =>
        IPNetwork.TryParse(text, out var network) ? network
        : IPAddress.TryParse(text, out var address) ? new IPNetwork(address, address.GetAddressBytes().Length * 8)
        : throw new CommandException($"--behind-proxy {text} is neither an address nor a network: write 10.1.0.7 or 10.1.0.0/24.");
}
