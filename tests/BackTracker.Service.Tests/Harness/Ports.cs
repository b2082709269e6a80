using System.Net;
using System.Net.Sockets;

namespace BackTracker.Service.Tests.Harness;

/// <summary>Ports of this machine.</summary>
internal static class Ports
{
    /// <summary>One on loopback at which nobody listens.</summary>
    public static int Free()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        return ((IPEndPoint)probe.LocalEndpoint).Port;
    }
}
