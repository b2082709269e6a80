using System.Net.Sockets;
using System.Text;

namespace BackTracker.Faults;

/// <summary>A connection of somebody who says what no client library would, or says it as slowly.</summary>
internal sealed class BareConnection(Socket socket) : IDisposable
{
    public static async Task<BareConnection> OpenAsync(Uri address)
    {
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp);
        await socket.ConnectAsync(address.Host, address.Port, TestContext.Current.CancellationToken);
        return new BareConnection(socket);
    }

    public async Task SayAsync(string text) => await socket.SendAsync(Encoding.ASCII.GetBytes(text), TestContext.Current.CancellationToken);

    /// <summary>Says a byte now and then until the other side has had enough.</summary>
    public async Task DripAsync(char drop, TimeSpan every)
    {
        using var timer = new PeriodicTimer(every);
        try
        {
            while (await timer.WaitForNextTickAsync(TestContext.Current.CancellationToken))
                await SayAsync(drop.ToString());
        }
        catch (SocketException)
        {
            // It was closed.
        }
    }

    /// <summary>Whether the other side has closed it, as the kernel knows without a byte being read.</summary>
    public bool IsClosed => socket.Poll(0, SelectMode.SelectError) || TcpState() is not 1;

    /// <summary>Hangs up in the middle of everything (RST).</summary>
    public void Reset()
    {
        socket.LingerState = new LingerOption(true, 0);
        socket.Dispose();
    }

    public void Dispose() => socket.Dispose();

    /// <summary>State of tcp(7): 1 is established.</summary>
    private byte TcpState()
    {
        Span<byte> info = stackalloc byte[104];
        socket.GetRawSocketOption(6, 11, info);
        return info[0];
    }
}
