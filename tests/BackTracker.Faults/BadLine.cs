using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;

namespace BackTracker.Faults;

/// <summary>What a line does to an answer on it.</summary>
internal enum LineFault
{
    /// <summary>Brings it late.</summary>
    Slow,

    /// <summary>Breaks in the middle of everything (RST) when it comes.</summary>
    Cut,

    /// <summary>Brings nothing any more, and does not say so.</summary>
    Dead,
}

/// <summary>A line between somebody who asks and somebody who answers, of which every other connection has a fault.</summary>
internal sealed class BadLine : IDisposable
{
    private static readonly TimeSpan Late = TimeSpan.FromMilliseconds(100);
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly ConcurrentBag<Socket> _sockets = [];
    private readonly Uri _to;
    private readonly LineFault _fault;
    private int _count;

    private BadLine(Uri to, LineFault fault) => (_to, _fault) = (to, fault);

    public Uri Address => new UriBuilder(_to) { Port = ((IPEndPoint)_listener.LocalEndpoint).Port }.Uri;

    /// <summary>How many connections had their fault.</summary>
    public int Faults => Volatile.Read(ref _count) / 2;

    public static BadLine To(Uri to, LineFault fault)
    {
        var line = new BadLine(to, fault);
        line._listener.Start();
        _ = line.TakeAsync();
        return line;
    }

    public void Dispose()
    {
        _listener.Dispose();
        foreach (var socket in _sockets)
            socket.Dispose();
    }

    private async Task TakeAsync()
    {
        try
        {
            while (true)
            {
                var near = await _listener.AcceptSocketAsync();
                var far = new Socket(SocketType.Stream, ProtocolType.Tcp);
                await far.ConnectAsync(_to.Host, _to.Port);
                _sockets.Add(near);
                _sockets.Add(far);
                var isBad = Interlocked.Increment(ref _count) % 2 == 0;
                _ = CarryAsync(near, far, () => Task.FromResult(true));
                _ = CarryAsync(far, near, () => isBad ? FaultAsync(near, far) : Task.FromResult(true));
            }
        }
        catch (Exception error) when (error is SocketException or ObjectDisposedException)
        {
            // It is over.
        }
    }

    /// <summary>Carries bytes until one side has had enough, as long as the line lets them through.</summary>
    private static async Task CarryAsync(Socket from, Socket to, Func<Task<bool>> passesAsync)
    {
        var bytes = new byte[8192];
        try
        {
            while (await from.ReceiveAsync(bytes) is var count and > 0 && await passesAsync())
                await to.SendAsync(bytes.AsMemory(0, count));
            to.Shutdown(SocketShutdown.Send);
        }
        catch (Exception error) when (error is SocketException or ObjectDisposedException)
        {
            // One of them hung up.
        }
    }

    private async Task<bool> FaultAsync(Socket near, Socket far)
    {
        if (_fault == LineFault.Slow)
            await Task.Delay(Late);
        if (_fault == LineFault.Dead)
            await Task.Delay(Timeout.Infinite);
        if (_fault == LineFault.Cut)
            foreach (var end in new[] { near, far })
            {
                end.LingerState = new LingerOption(true, 0);
                end.Dispose();
            }
        return _fault == LineFault.Slow;
    }
}
