using System.Net;
using System.Net.Sockets;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Delivery;

/// <summary>Finds the addresses of a name.</summary>
internal delegate Task<IPAddress[]> ResolveName(string host, CancellationToken cancel);

/// <summary>
/// Keeps webhooks out of the network the service stands in. The address a name leads to is looked at when the connection is opened, and
/// the connection goes to that very address: a name that leads elsewhere a moment later gains nothing.
/// </summary>
internal sealed class AddressGuard(DeliverySettings settings, ResolveName resolve)
{
    private readonly HashSet<string> _allowed = new(settings.Hosts, StringComparer.OrdinalIgnoreCase);

    /// <summary>What is wrong with an address as the target of a webhook; empty where nothing is.</summary>
    public string FaultOf(string url)
    {
        if (!Uri.TryCreate(url, UriKind.Absolute, out var target) || target.Scheme is not ("https" or "http") || target.Host.Length == 0)
            return "Write the whole address, as https://example.org/hooks/backtracker.";
        if (target.UserInfo.Length > 0 || target.Fragment.Length > 0)
            return "Leave name and password and the part after # out of the address: requests are known by their signature.";
        var host = target.IdnHost.Trim('[', ']');
        if (_allowed.Contains(host))
            return "";
        if (target.Scheme == "http")
            return "Use https. Plain http goes only to a host that the operator has named in the setting Delivery:AllowHosts.";
        return IPAddress.TryParse(host, out var address) && !MayReach(address) ? Refusal(host) : "";
    }

    /// <summary>Opens a connection to a host at an address that was looked at.</summary>
    public async ValueTask<Stream> ConnectAsync(SocketsHttpConnectionContext context, CancellationToken cancel)
    {
        var addresses = await AddressesAsync(context.DnsEndPoint.Host, cancel);
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        try
        {
            await socket.ConnectAsync(addresses, context.DnsEndPoint.Port, cancel);
            return new NetworkStream(socket, ownsSocket: true);
        }
        catch
        {
            socket.Dispose();
            throw;
        }
    }

    /// <summary>Those addresses of a host that may be reached.</summary>
    /// <exception cref="AddressRefusedException">There is none.</exception>
    public async Task<IPAddress[]> AddressesAsync(string host, CancellationToken cancel)
    {
        var found = IPAddress.TryParse(host, out var literal) ? [literal] : await resolve(host, cancel);
        IPAddress[] reachable = _allowed.Contains(host) ? found : [.. found.Where(MayReach)];
        return reachable.Length > 0 ? reachable : throw new AddressRefusedException(Refusal(host));
    }

    private bool MayReach(IPAddress address) => !InnerAddresses.Contain(address) || _allowed.Contains(InnerAddresses.Plain(address).ToString());

    private static string Refusal(string host) =>
        $"{host} is an address inside a network, not out in the internet. An operator can allow it with the setting Delivery:AllowHosts.";
}

/// <summary>The host leads to no address that may be reached.</summary>
/// <param name="message">Which, and how to mend it.</param>
internal sealed class AddressRefusedException(string message) : Exception(message);
